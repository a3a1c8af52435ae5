/** The English catalogue: the one the pages are written in, and the measure of every other. */
import { board, wish } from './board.js'
import { bring } from './bring.js'
import { charts } from './charts.js'
import { desk } from './desk.js'
import { details } from './details.js'
import { history, ledgerNews } from './history.js'
import { join, links, people } from './people.js'
import { music } from './music.js'
import { listen, player } from './player.js'
import { polls } from './polls.js'
import { shell } from './shell.js'

export const english = {
  ...shell,
  music,
  join,
  board,
  wish,
  desk,
  bring,
  links,
  people,
  history,
  polls,
  player,
  listen,
  charts,
  details,
  ledgerNews,
} as const
