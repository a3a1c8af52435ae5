/** Bringing a tune, as other pages speak of it: the page's own sentences are in bringing.ts, loaded with it. */
import type { Words } from '../catalogue.js'

export const bring = {
  title: 'Bring ein Stück mit',
  keptHere: 'Dieses Board liegt auf dem eigenen Server eurer Band',
  whose: 'Wessen Stück ist es?',
  rights: { own: 'Unseres', 'public-domain': 'Gemeinfrei', licensed: 'Das von jemand anderem', unknown: 'Noch unklar' },
  careTitle: 'Bevor du es weitergibst.',
  care: 'Wer das Stück eines anderen arrangiert, braucht meist die Erlaubnis derer, die die Rechte haben. Auch eine Aufnahme weiterzugeben oder Stimmen zu drucken kann eine Lizenz erfordern. Die Regeln sind von Land zu Land verschieden; frag die Rechteinhaber oder eine Verwertungsgesellschaft.',
  linksTitle: 'Das Board ist offen. Hier sind die Schlüssel.',
  linksNote: 'Ein Link ist ein Schlüssel: Wer ihn hat, kommt herein. Den der Leitung behalte für dich.',
  linksKept: 'Ich habe sie aufgehoben',
} satisfies Words['bring']
