/** "Lantern Slip": F major, medium swing, A A B A, 32 bars, no pickup. */
export const LANTERN_SLIP = `%abc-2.1
%%rights own
X:1
T:Lantern Slip
C:The Chartloft demo book
R:medium swing
M:4/4
L:1/4
Q:1/4=138
K:F
P:A
"Fmaj7"A2 F G | "Dm7"c3 G | "Gm7"d2 c A | "C7"G3 E |
"Gm7"d3/2 c/2 B2 | "C7"A2 G E | "F6"F4- | "F6"F4 |
P:A
"Fmaj7"A2 F G | "Dm7"c3 G | "Gm7"d2 c A | "C7"G3 E |
"Gm7"d3/2 c/2 B2 | "C7"A2 G E | "F6"F4- | "Cm7"F2 "F7"z2 |
P:B
"Bbmaj7"d3 f | "Eb7"_d3 c | "Am7"c2 d e | "D7"A3 ^F |
"G7"G2 =B d | "G7"e3 d | "Gm7"f2 d B | "C7"c2 B2 |
P:A
"Fmaj7"A2 F G | "Dm7"c3 G | "Gm7"d2 c A | "C7"G3 E |
"Gm7"d3/2 c/2 B2 | "C7"A2 G E | "F6"F4- | "F6"F4 |]
`
