/** The German catalogue. */
import type { Catalogue } from '../catalogue.js'
import { board, wish } from './board.js'
import { bring } from './bring.js'
import { bringing } from './bringing.js'
import { charts } from './charts.js'
import { compare } from './compare.js'
import { desk } from './desk.js'
import { details } from './details.js'
import { history, ledgerNews } from './history.js'
import { join, links, people } from './people.js'
import { music } from './music.js'
import { listen, player } from './player.js'
import { polls } from './polls.js'
import { shell } from './shell.js'

export const german: Catalogue = {
  words: {
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
  },
  compare,
  bringing,
  reading: async () => (await import('./reading.js')).READING,
}
