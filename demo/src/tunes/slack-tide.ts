/** "Slack Tide": a 12-bar blues in B♭, shuffle. */
export const SLACK_TIDE = `%abc-2.1
%%rights own
X:3
T:Slack Tide
C:The Chartloft demo book
R:shuffle
M:4/4
L:1/4
Q:1/4=116
K:Bb
"Bb7"z F _A B | "Eb7"_d2 B2 | "Bb7"z F _A B | "Bb7"d3/2 B/2 z2 |
"Eb7"z G B _d | "Eb7"_d2 B2 | "Bb7"z F _A B | "G7b9"d3/2 _A/2 z2 |
"Cm7"e2 c G | "F7"A2 c e | "Bb7"B4- | "F7sus"B2 z2 |]
`
