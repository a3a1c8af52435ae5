/** Files into tunes: one reader a format, one shape of answer and of error; and what may be put right before a tune is brought. */
export { type FileContents, type ListedLine, type ListedTune, listContents } from './file-contents.js'
export type { ListedPart } from './musicxml/parts.js'
export { mendTune, type TuneMend, twinBars } from './mend/index.js'
export { type ReadOptions, readTune, type TuneFormat } from './read-tune.js'
export { writeTuneFile } from './tune-file.js'
