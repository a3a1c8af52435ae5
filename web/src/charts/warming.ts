/** A few bars that use what every chart uses, engraved before the first one is asked for. */

const note = (step: string, octave: number, type: string, duration: number): string =>
  `<note><pitch><step>${step}</step><octave>${octave}</octave></pitch><duration>${duration}</duration><voice>1</voice><type>${type}</type></note>`

const bar = (number: number): string =>
  `<measure number="${number}">${
    number === 1
      ? '<attributes><divisions>2</divisions><key><fifths>-1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes>'
      : ''
  }${number === 3 ? '<print new-system="yes"/>' : ''}<harmony><root><root-step>F</root-step></root><kind text="maj7">major-seventh</kind></harmony>${note('A', 4, 'quarter', 2)}${note('B', 4, 'eighth', 1)}${note('C', 5, 'eighth', 1)}${note('F', 5, 'half', 4)}</measure>`

/** MusicXML of four bars on two lines. */
export const WARMING = `<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Lead</part-name></score-part></part-list><part id="P1">${[1, 2, 3, 4].map(bar).join('')}</part></score-partwise>`
