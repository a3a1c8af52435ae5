/** MusicXML out. */
export { type MusicXmlOptions, writeMusicXml } from './musicxml/index.js'
