/** "Net Mender": a tune of our own that is not in the demo book; B♭ major, A A B A. */
export const NET_MENDER = `X:1
T:Net Mender
M:4/4
L:1/4
Q:1/4=126
K:Bb
P:A
"Bbmaj7"d2 f d | "Gm7"B3 c | "Cm7"e2 d c | "F7"A3 F |
"Dm7"f2 d c | "G7"B3 d | "Cm7"c2 "F7"e d | "Bb6"B4 |
P:A
"Bbmaj7"d2 f d | "Gm7"B3 c | "Cm7"e2 d c | "F7"A3 F |
"Dm7"f2 d c | "G7"B3 d | "Cm7"c2 "F7"e d | "Bb6"B4 |
P:B
"Ebmaj7"g2 f e | "Ab7"_g2 f2 | "Bbmaj7"d3 f | "G7"f2 d =B |
"Cm7"c2 e g | "C7"=e3 d | "Cm7"e2 c2 | "F7"A2 c2 |
P:A
"Bbmaj7"d2 f d | "Gm7"B3 c | "Cm7"e2 d c | "F7"A3 F |
"Dm7"f2 d c | "G7"B3 d | "Cm7"c2 "F7"e d | "Bb6"B4 |]
`
