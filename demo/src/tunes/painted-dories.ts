/** "Painted Dories": A B A C in C, written as one repeat with a first and a second ending. */
export const PAINTED_DORIES = `%abc-2.1
%%rights own
X:5
T:Painted Dories
C:The Chartloft demo book
R:bright swing
M:4/4
L:1/4
Q:1/4=160
K:C
P:A
|: "Cmaj7"E3/ G/ B2 | "A7"^c3 B | "Dm7"A2 F A | "G7"B3 A |
"Em7"G3/ B/ d2 | "A7b9"^c2 _B2 | "Dm7"A2 c e | "G7"d2 B2 |
P:B
[1 "Gm7"d3 _B | "C7"e3/ d/ c2 | "Fmaj7"A3 c | "Bb7"d2 c _A |
"Em7"G2 B2 | "A7"^c2 G2 | "Dm7"F2 A c | "G7sus"c2 "G7"B2 :|
P:C
[2 "Fmaj7"A c e2 | "F#dim7"_e3 c | "C6/G"e2 c G | "A7"^c3 A |
"Dm7"F A d2 | "G7"f3/ e/ d B | "C6"c4- | "C6"c2 z2 |]
`
