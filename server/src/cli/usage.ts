/** How the command line is used, and the error that says it was used wrongly. */

/** Wrong use or an unreadable file: one line on stderr, exit code 2. */
export class UsageError extends Error {
  override readonly name = 'UsageError'
}

export const USAGE = `chartloft: settle an arrangement together, or work one out from the command line

  chartloft propose TUNE --decision groove|opening|harmony|lift|ending [--at PLACE] [--choose …] [--json]
      the options that work for this tune, best first, each with its reason
  chartloft compile TUNE [--choose KIND=OPTION[@PLACE]] … [--key KEY] [--lineup FILE] --out DIR [--wav FILE]
      writes score.musicxml, parts/*.musicxml, arrangement.mid, arrangement.json and report.txt; with --wav the sound too
  chartloft check FILE.musicxml|FILE.abc [--json]
      what the rules of the trade say about a file
  chartloft serve [--port 8080] [--data DIR] [--open] [--demo]
      the board server; every other setting is an environment variable
  chartloft export BOARD_ID --data DIR --out FILE.json
  chartloft import FILE.json --data DIR
  chartloft link BOARD_ID --role leader|member|listener --data DIR
      a new link, for whoever holds the server
  chartloft recount BOARD_ID --data DIR [--mend]
      counts every ballot of its polls and says whether the tallies agree, while the server runs
  chartloft backup --data DIR --out FILE
      everything in one file, while the server runs; the secret is kept apart
  chartloft restore FILE --data DIR
      such a file into a folder or database without boards

Without --data, boards are those of the Postgres database that DATABASE_URL names.
TUNE is an ABC, MusicXML (.musicxml, .xml, .mxl) or MIDI file. PLACE is passId, passId/sectionId, passId/sectionId:fromBar+bars or last-LETTER.
Exit code 0: success; 1: the music has errors, or a tally was wrong; 2: wrong use or an unreadable file.
'chartloft propose --help' lists the short names options go by.
`
