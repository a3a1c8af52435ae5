/** "Low Water Letter": a ballad in E♭ with a pickup, an opening verse, A A B A and a coda whose last bar completes the pickup. */
export const LOW_WATER_LETTER = `%abc-2.1
%%rights own
X:4
T:Low Water Letter
C:The Chartloft demo book
R:ballad
M:4/4
L:1/4
Q:1/4=72
K:Eb
P:Verse
E/ F/ | "Cm7"G2 E G | "F7"=A3 F | "Fm7"A2 F A | "Bb7"B3 A |
"Gm7"B2 G B | "C7b9"_d2 B2 | "Fm7"c2 A F | "Bb7sus"F2 "Bb7"A B |
P:A
"Ebmaj7"G3 B | "Cm7"e3/ d/ c2 | "Fm7"c3 A | "Bb7"d2 c B |
"Gm7"B2 d2 | "C7b9"_d3/ B/ G2 | "Fm7"A2 "Bb7"G F | "Eb6"E2 "Bb7sus"z2 |
P:A
"Ebmaj7"G3 B | "Cm7"e3/ d/ c2 | "Fm7"c3 A | "Bb7"d2 c B |
"Gm7"B2 d2 | "C7b9"_d3/ B/ G2 | "Fm7"A2 "Bb7"G F | "Eb6"E2 "Eb7"z2 |
P:B
"Abmaj7"c3 e | "Abm6"e2 _c2 | "Gm7"d3 B | "C7"B =A G2 |
"Fm7"A c e2 | "Db9"f2 e _d | "Cm7"e2 "F7"c =A | "Bb7sus"c2 "Bb7"B A |
P:A
"Ebmaj7"G3 B | "Cm7"e3/ d/ c2 | "Fm7"c3 A | "Bb7"d2 c B |
"Gm7"B2 d2 | "C7b9"_d3/ B/ G2 | "Fm7"A2 "Bb7"G F | "Eb6"E4 |
P:Coda
"Abmaj7"c2 B A | "Abm6"_c2 B A | "Eb6/Bb"G2 "Bb7sus"F2 | "Eb6"E3 |]
`
