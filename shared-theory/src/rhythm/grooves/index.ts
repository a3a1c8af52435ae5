/** The whole catalogue, in the order it is offered. */
import type { Groove } from '../groove.js'
import { AFRO_12_8 } from './afro-12-8.js'
import { BACKBEAT } from './backbeat.js'
import { BACKBEAT_HALF } from './backbeat-half.js'
import { BALLAD_6_8 } from './ballad-6-8.js'
import { BALLAD_EVEN } from './ballad-even.js'
import { BALLAD_SWING } from './ballad-swing.js'
import { BOSSA } from './bossa.js'
import { CHA_CHA } from './cha-cha.js'
import { FIVE_4 } from './five-4.js'
import { JAZZ_WALTZ } from './jazz-waltz.js'
import { RUBATO } from './rubato.js'
import { SAMBA } from './samba.js'
import { SEVEN_4_EVEN } from './seven-4-even.js'
import { SEVEN_4_FAST } from './seven-4-fast.js'
import { SHUFFLE } from './shuffle.js'
import { STREET_BEAT } from './street-beat.js'
import { SWING_FAST } from './swing-fast.js'
import { SWING_MEDIUM } from './swing-medium.js'

export const GROOVES: readonly Groove[] = [
  BALLAD_EVEN,
  BALLAD_SWING,
  SWING_MEDIUM,
  SWING_FAST,
  SHUFFLE,
  BOSSA,
  SAMBA,
  AFRO_12_8,
  CHA_CHA,
  JAZZ_WALTZ,
  BALLAD_6_8,
  FIVE_4,
  SEVEN_4_EVEN,
  SEVEN_4_FAST,
  BACKBEAT,
  BACKBEAT_HALF,
  STREET_BEAT,
  RUBATO,
]
