/** MusicXML out. */
export { type EngravedChart, type MusicXmlOptions, writeChart, writeMusicXml } from './musicxml/index.js'
export type { ChartMark, TimeMark } from './musicxml/chart-marks.js'
