/** Short names for options, as a command line or a chat takes them. */
import type { DecisionKind, Option } from '../contract/index.js'

interface Alias {
  readonly alias: string
  /** Recipes meant, the first that is offered; empty where only the params decide. */
  readonly recipes: readonly string[]
  readonly params?: Option['params']
}

const alias = (name: string, ...recipes: readonly string[]): Alias => ({ alias: name, recipes })
const AS_WRITTEN = [alias('written', 'as-written'), alias('none', 'as-written')]

const ALIASES: { readonly [kind in DecisionKind]: readonly Alias[] } = {
  groove: [
    ...AS_WRITTEN,
    alias('ballad', 'ballad-even', 'ballad-swing'),
    alias('swing', 'swing-medium'),
    alias('waltz', 'jazz-waltz'),
    alias('five', 'five-4'),
    alias('seven', 'seven-4-even', 'seven-4-fast'),
    alias('afro', 'afro-12-8'),
    alias('rock', 'backbeat'),
  ],
  opening: [
    alias('verse', 'own-verse'),
    alias('pedal', 'dominant-pedal'),
    alias('free', 'free-first-sections'),
    alias('drums', 'drums-alone'),
  ],
  harmony: [
    ...AS_WRITTEN,
    alias('tritone', 'tritone-substitution'),
    alias('two-five', 'related-ii'),
    alias('descent', 'chromatic-descent'),
    alias('above', 'half-step-above'),
    alias('up-half', 'up-a-half-step'),
    alias('free', 'free-root-line'),
    alias('pedal', 'tonic-pedal'),
    alias('diminished', 'diminished-passing'),
    alias('interchange', 'modal-interchange'),
    alias('cycle', 'cycle-extension'),
  ],
  lift: [1, 2, 3, 4, -1, -2].map((semitones) => ({
    alias: `${semitones > 0 ? 'up' : 'down'}-${Math.abs(semitones)}`,
    recipes: [],
    params: { semitones },
  })),
  ending: [
    ...AS_WRITTEN,
    alias('delay', 'delayed-tonic'),
    alias('descent', 'chromatic-descent'),
    alias('pedal', 'dominant-pedal'),
  ],
}

/** Short names a kind knows beside its options' ids and recipe names. */
export function optionAliases(kind: DecisionKind): readonly string[] {
  return ALIASES[kind].map((known) => known.alias)
}

/** The option meant by an id, an id without its kind, an alias, or the name of a recipe or groove; of several the best ranked. */
export function findOption(options: readonly Option[], idOrAlias: string): Option | undefined {
  const name = idOrAlias.trim().toLowerCase()
  const exact = options.find(({ id, kind }) => id === name || id === `${kind}-${name}`)
  if (exact) return exact
  for (const known of options[0] ? ALIASES[options[0].kind] : []) {
    if (known.alias !== name) continue
    const meant = options.filter(({ params }) =>
      Object.entries(known.params ?? {}).every(([param, value]) => params[param] === value),
    )
    if (known.recipes.length === 0 && meant[0]) return meant[0]
    for (const recipe of known.recipes) {
      const found = named(meant, recipe)
      if (found) return found
    }
  }
  return named(options, name) ?? liftBy(options, name)
}

/** 'up-5', 'down-4': the rare distances, where the list has them. */
function liftBy(options: readonly Option[], name: string): Option | undefined {
  const found = /^(up|down)-([1-6])$/.exec(name)
  const semitones = found && Number(found[2]) * (found[1] === 'up' ? 1 : -1)
  return options.find(({ kind, params }) => kind === 'lift' && params['semitones'] === semitones)
}

/** By recipe, or by the groove it plays: the tune as written may be the swing somebody asks for. */
const named = (options: readonly Option[], name: string): Option | undefined =>
  options.find(({ recipe }) => recipe === name) ??
  options.find(({ kind, params }) => kind === 'groove' && params['groove'] === name)
