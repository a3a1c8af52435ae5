/** Every named limit of the music package: beyond one of these the answer is an issue, never a crash. */
export const LIMITS = {
  /** Bars in one arrangement. */
  arrangementBars: 2000,
  /** Parts in one line-up. */
  parts: 24,
  /** Hand edits in one plan. */
  edits: 5000,
  /** Times one pass may be played. */
  passTimes: 32,
  /** Passes in one running order. */
  passes: 64,
  /** Sections named by one pass. */
  passSections: 64,
  /** Choices in one plan. */
  chosen: 200,
  /** Parameters of one option, entries of a list among them, and characters of a text among them. */
  params: 64,
  paramList: 2000,
  paramText: 2000,
  /** Characters of a name: a pass, a section, an option. */
  word: 200,
  /** Notes of one voicing. */
  voices: 16,
  /** Bars in a tune file, repeats unfolded. */
  tuneBars: 1000,
  /** Bytes of a tune file. */
  tuneFileBytes: 8 * 1024 * 1024,
  /** Depth of XML elements read. */
  xmlDepth: 64,
  /** Elements of one XML file. */
  xmlElements: 400_000,
  /** Characters of text in one XML element. */
  xmlText: 100_000,
  /** Bytes of one MIDI file. */
  midiFileBytes: 1024 * 1024,
  /** Notes of one MIDI file. */
  midiNotes: 20_000,
  /** Lines of one ABC file. */
  abcLines: 400_000,
  /** Characters of one line of an ABC tune. */
  abcLine: 20_000,
  /** Notes, signs and marks of one ABC tune. */
  abcTokens: 150_000,
  /** Characters of one chord symbol. */
  chordSymbol: 64,
  /** Chords in one bar. */
  chordsPerBar: 16,
  /** Notes of melody in one bar. */
  notesPerBar: 128,
} as const
