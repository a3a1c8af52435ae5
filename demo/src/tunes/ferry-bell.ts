/** "Ferry Bell": a jazz waltz in G minor, A B, 16 bars; bars 5–8 cadence in B♭ major. */
export const FERRY_BELL = `%abc-2.1
%%rights own
X:2
T:Ferry Bell
C:The Chartloft demo book
R:jazz waltz
M:3/4
L:1/4
Q:1/4=144
K:Gm
P:A
"Gm6"d2 B | "Eb7"G2 B | "Am7b5"c2 A | "D7b9"^F3 |
"Gm7"B A G | "C7"G2 =E | "Fmaj7"A2 c | "Bbmaj7"d3 |
P:B
"Ebmaj7"d2 c | "Am7b5"c2 e | "D7b9"d2 c | "Gm6"B3 |
"Cm7"e2 d | "Am7b5"c2 "D7b9"^F | "Gm6"G3- | "Gm6"G3 |]
`
