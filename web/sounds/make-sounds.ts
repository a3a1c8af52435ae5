/** Makes the sound set: only the zones the band needs, samples as they stand in the bank, tuned, trimmed and levelled by measurement. */
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { levelOf } from '../src/audio/voice.js'
import type { SampleRow, Zone, ZoneEnvelope, ZoneTable } from '../src/audio/zone-table.js'
import { BANK_FILE, type BankSample, type BankZone, openBank } from './bank.js'
import { fundamentalNear, heldAudio, leadOf, lowPassed, noteLoudness } from './measure.js'
import { KIT_GAIN_DB, KITS, PITCHED, type PitchedRecipe, STROKES } from './recipes.js'

export interface MadeFile {
  /** As the pages ask for it, without a leading slash. */
  readonly path: string
  readonly content: Uint8Array
}

export interface MadeSounds {
  /** Sound name → address of its zone table. */
  readonly tables: { readonly [name: string]: string }
  readonly files: readonly MadeFile[]
}

/** The velocity everything is levelled at. */
const LEVEL_VELOCITY = 80
/** A zone may differ from its neighbours' loudness by so much; what it has more is evened out. */
const EVEN_WITHIN_DB = 2
/** A note's pitch is taken from its first steady part. */
const PITCH_FROM_SECONDS = 0.06
const PITCH_FOR_SECONDS = 1.14
const CACHE = fileURLToPath(new URL('../dist/sounds', import.meta.url))
/** Corners above this cut nothing anybody hears. */
const OPEN_HERTZ = 16_000

/** From the cache where neither bank nor recipes have changed. */
export async function makeSounds(sources: readonly string[]): Promise<MadeSounds> {
  const stamp = hashOf(Buffer.concat([BANK_FILE, ...sources].map((path) => readFileSync(path))))
  const folder = join(CACHE, stamp)
  const index = join(folder, 'index.json')
  if (existsSync(index)) {
    const { tables, paths } = JSON.parse(readFileSync(index, 'utf8')) as {
      tables: MadeSounds['tables']
      paths: string[]
    }
    return {
      tables,
      files: paths.map((path) => ({ path, content: readFileSync(join(folder, path.replace('/', '~'))) })),
    }
  }
  const made = await make()
  rmSync(CACHE, { recursive: true, force: true })
  mkdirSync(folder, { recursive: true })
  for (const { path, content } of made.files) writeFileSync(join(folder, path.replace('/', '~')), content)
  writeFileSync(index, JSON.stringify({ tables: made.tables, paths: made.files.map(({ path }) => path) }))
  return made
}

/** What the cache depends on besides the bank. */
export function recipeSources(root: string): readonly string[] {
  const own = readdirSync(join(root, 'sounds')).map((name) => join(root, 'sounds', name))
  const shared = ['envelope.ts', 'loudness.ts', 'voice.ts', 'zone-table.ts'].map((name) =>
    join(root, 'src/audio', name),
  )
  return [...own, ...shared].sort()
}

async function make(): Promise<MadeSounds> {
  const bank = await openBank()
  const files = new Map<string, MadeFile>()
  const tables: { [name: string]: string } = {}
  const add = (name: string, extension: string, content: Uint8Array): string => {
    const path = `sounds/${name}-${hashOf(content).slice(0, 10)}.${extension}`
    files.set(path, { path, content })
    return `/${path}`
  }
  const write = (table: Omit<ZoneTable, 'audio'>, samples: readonly BankSample[], oggName = table.name): void => {
    const audio = add(oggName, 'ogg', Buffer.concat(samples.map(({ ogg }) => ogg)))
    tables[table.name] = add(table.name, 'json', Buffer.from(JSON.stringify({ ...table, audio })))
  }
  for (const recipe of PITCHED) {
    const { table, samples } = pitched(recipe, bank.zonesOf(recipe.preset))
    write(table, samples, recipe.name === 'flugelhorn' ? 'trumpet' : recipe.name)
  }
  const kit = drums((preset) => bank.zonesOf(preset))
  write(kit.table, kit.samples)
  return { tables, files: [...files.values()].sort((a, b) => (a.path < b.path ? -1 : 1)) }
}

interface Made {
  readonly table: Omit<ZoneTable, 'audio'>
  readonly samples: readonly BankSample[]
}

function pitched(recipe: PitchedRecipe, all: readonly BankZone[]): Made {
  const [low, high] = recipe.keys
  const needed = withoutDoubles(all).filter(({ keys }) => keys[1] >= low && keys[0] <= high)
  const samples = [...new Set(needed.map(({ sample }) => sample))]
  const rows = rowsOf(samples, needed)
  const roots = new Map(
    samples.map((sample, index) => [sample, tunedRoot(sample, needed, rows[index]?.leadSeconds ?? 0, recipe)]),
  )
  const zones = needed.map((zone): Zone => {
    const filterHertz = zone.filterHertz * 2 ** (-(recipe.darkerCents ?? 0) / 1200)
    return rounded({
      // The outermost zones take whatever lies beyond them.
      keys: [isFirst(zone, needed) ? 0 : zone.keys[0], isLast(zone, needed) ? 127 : zone.keys[1]],
      velocities: zone.velocities,
      sample: samples.indexOf(zone.sample),
      root: zone.root + (roots.get(zone.sample) ?? 0),
      gainDb: 0,
      envelope: ringing(zone.envelope, recipe),
      ...(zone.isLooped ? { isLooped: true as const } : {}),
      ...(filterHertz < OPEN_HERTZ ? { filterHertz } : {}),
    })
  })
  // Level: each sample at velocity 80, evened towards the middle one, and the whole to where it stands in the band.
  const loudnessOf = new Map<number, number>()
  for (const zone of zones) {
    if (!isStruckAt(zone, LEVEL_VELOCITY) || loudnessOf.has(zone.sample)) continue
    loudnessOf.set(zone.sample, loudness(zone, samples, rows, false))
  }
  const middle = [...loudnessOf.values()].sort((a, b) => a - b)[loudnessOf.size >> 1] ?? 0
  const evened = zones.map((zone) => {
    const apart = (loudnessOf.get(zone.sample) ?? middle) - middle
    const trim = Math.sign(apart) * Math.max(0, Math.abs(apart) - EVEN_WITHIN_DB)
    return { ...zone, gainDb: round(-trim, 2) }
  })
  return {
    table: {
      name: recipe.name,
      gainDb: round(recipe.loudness - middle, 2),
      ...(recipe.vibratoCents === undefined ? {} : { vibratoCents: recipe.vibratoCents }),
      samples: rows,
      zones: merged(evened),
    },
    samples,
  }
}

const ringing = (envelope: ZoneEnvelope, { ring }: PitchedRecipe): ZoneEnvelope =>
  ring ? { ...envelope, fallDbPerSecond: envelope.fallDbPerSecond / 2, ring } : envelope

function drums(zonesOf: (preset: (typeof KITS)[number]['preset']) => readonly BankZone[]): Made {
  const found = KITS.flatMap(({ kit, preset }) => {
    const zones = withoutDoubles(zonesOf(preset))
    return STROKES.filter((stroke) => stroke.kit === undefined || stroke.kit === kit).flatMap((stroke) =>
      zones
        .filter(({ keys }) => keys[0] <= (stroke.from ?? stroke.key) && keys[1] >= (stroke.from ?? stroke.key))
        .map((zone) => ({ kit, stroke, zone, shift: stroke.key - (stroke.from ?? stroke.key) })),
    )
  })
  const samples = [...new Set(found.map(({ zone }) => zone.sample))]
  const rows = rowsOf(
    samples,
    found.map(({ zone }) => zone),
  )
  const made = found.map(({ kit, stroke, zone, shift }) => {
    const plain: Zone = rounded({
      keys: [stroke.key, stroke.key],
      velocities: zone.velocities,
      sample: samples.indexOf(zone.sample),
      root: zone.root + shift,
      gainDb: 0,
      envelope: zone.envelope,
      ...(stroke.pan ? { pan: stroke.pan } : {}),
      ...(zone.isLooped ? { isLooped: true as const } : {}),
      ...(zone.filterHertz < OPEN_HERTZ ? { filterHertz: zone.filterHertz } : {}),
      ...(zone.exclusive > 0 ? { exclusive: zone.exclusive } : {}),
    })
    return { kit, stroke, zone: plain }
  })
  const levelled = made.map(({ kit, stroke, zone }) => {
    const heard = made.find(
      (other) => other.kit === kit && other.stroke === stroke && isStruckAt(other.zone, LEVEL_VELOCITY),
    )
    const at = heard ? loudness(heard.zone, samples, rows, true) : stroke.loudness
    return { kit, zone: { ...zone, gainDb: round(stroke.loudness - at, 2) } }
  })
  // What all kits have alike stands once, for every kit.
  const alike = new Map<string, { readonly zone: Zone; readonly kits: (typeof KITS)[number]['kit'][] }>()
  for (const { kit, zone } of levelled) {
    const key = JSON.stringify(zone)
    const known = alike.get(key)
    if (known) known.kits.push(kit)
    else alike.set(key, { zone, kits: [kit] })
  }
  const zones = [...alike.values()].flatMap(({ zone, kits }) =>
    kits.length === KITS.length ? [zone] : kits.map((kit): Zone => ({ ...zone, kit })),
  )
  return { table: { name: 'drum-kit', gainDb: KIT_GAIN_DB, samples: rows, zones }, samples }
}

function rowsOf(samples: readonly BankSample[], zones: readonly BankZone[]): readonly SampleRow[] {
  let at = 0
  return samples.map((sample) => {
    const played = zones.filter((zone) => zone.sample === sample)
    const { envelope, filterHertz } = (played.find((zone) => isStruckAt(zone, LEVEL_VELOCITY)) ?? played[0]) as BankZone
    const isLooped = zones.some((zone) => zone.sample === sample && zone.isLooped)
    const row: SampleRow = {
      at,
      bytes: sample.ogg.length,
      rate: sample.rate,
      frames: sample.audio.length,
      leadSeconds: round(leadOf(sample.audio, sample.rate, envelope, filterHertz), 5),
      ...(isLooped ? { loop: sample.loop } : {}),
    }
    at += sample.ogg.length
    return row
  })
}

/** What its root is off, in semitones: on the keys it plays, lowest to highest, none is further off than need be. */
function tunedRoot(
  sample: BankSample,
  zones: readonly BankZone[],
  leadSeconds: number,
  { keys: [low, high], isEnsemble = false }: PitchedRecipe,
): number {
  const own = zones.filter((candidate) => candidate.sample === sample && isStruckAt(candidate, LEVEL_VELOCITY))
  const lowest = Math.max(low, Math.min(...own.map(({ keys }) => keys[0])))
  const highest = Math.min(high, Math.max(...own.map(({ keys }) => keys[1])))
  const found = [lowest, highest].flatMap((key) => {
    const off = own[0] ? offAt(sample, own[0], leadSeconds, 2 ** ((key - own[0].root) / 12), isEnsemble) : undefined
    return off === undefined ? [] : [off]
  })
  return found.length === 0 ? 0 : (Math.min(...found) + Math.max(...found)) / 2
}

/** Semitones a held note is off: the mean over many frames, since a player's vibrato swings about the pitch that is meant. */
function offAt(
  sample: BankSample,
  zone: BankZone,
  leadSeconds: number,
  speed: number,
  isEnsemble: boolean,
): number | undefined {
  const expected = 440 * 2 ** ((zone.root - 69) / 12)
  // A sample played faster is through its first second sooner.
  const from = leadSeconds + PITCH_FROM_SECONDS * speed
  const loop = zone.isLooped ? sample.loop : undefined
  // One player's vibrato is followed in short frames; of many voices at once only long ones have a pitch.
  const frame = Math.max((isEnsemble ? 0.24 : 0.08) * speed, 5.5 / expected + 0.03)
  const found: number[] = []
  for (let at = from; at + frame <= from + PITCH_FOR_SECONDS * speed; at += 0.02 * speed) {
    // As it is heard: upper partials, out of tune on struck strings and bars, are mostly filtered away.
    const held = lowPassed(
      heldAudio(sample.audio, sample.rate, loop, at, frame),
      sample.rate,
      isEnsemble ? zone.filterHertz : Math.min(zone.filterHertz, Math.max(600, expected * 3)),
    )
    const hertz = fundamentalNear(held, sample.rate, expected, isEnsemble ? 0.1 : 0.025)
    if (hertz !== undefined) found.push(12 * Math.log2(hertz / expected))
  }
  return found.length === 0 ? undefined : found.reduce((sum, semitones) => sum + semitones, 0) / found.length
}

function loudness(zone: Zone, samples: readonly BankSample[], rows: readonly SampleRow[], isStroke: boolean): number {
  const sample = samples[zone.sample] as BankSample
  const { leadSeconds } = rows[zone.sample] as SampleRow
  const seconds = isStroke ? 0.6 : 0.8
  const audio = heldAudio(sample.audio, sample.rate, zone.isLooped ? sample.loop : undefined, leadSeconds, seconds)
  const at = noteLoudness(audio, sample.rate, zone.envelope, zone.filterHertz, isStroke)
  return at + 20 * Math.log10(levelOf(LEVEL_VELOCITY))
}

const isStruckAt = ({ velocities }: Pick<Zone, 'velocities'>, velocity: number): boolean =>
  velocities[0] <= velocity && velocities[1] >= velocity

const isFirst = (zone: BankZone, zones: readonly BankZone[]): boolean =>
  zones.every(({ keys }) => keys[0] >= zone.keys[0])
const isLast = (zone: BankZone, zones: readonly BankZone[]): boolean =>
  zones.every(({ keys }) => keys[1] <= zone.keys[1])

/** Stereo pairs of the mono bank name one sample twice: once is enough. */
function withoutDoubles(zones: readonly BankZone[]): readonly BankZone[] {
  const seen = new Set<string>()
  return zones.filter(({ keys, velocities, sample }) => {
    const key = `${keys.join()} ${velocities.join()} ${sample.name.replace(/\(R\)$/, '(L)')}`
    if (seen.has(key)) return false
    seen.add(key)
    return true
  })
}

/** Velocity ranges that differ in nothing become one. */
function merged(zones: readonly Zone[]): readonly Zone[] {
  const out: Zone[] = []
  for (const zone of zones.toSorted((a, b) => a.keys[0] - b.keys[0] || a.velocities[0] - b.velocities[0])) {
    const before = out.at(-1)
    const isSame = before && JSON.stringify({ ...before, velocities: 0 }) === JSON.stringify({ ...zone, velocities: 0 })
    if (isSame && before.velocities[1] + 1 === zone.velocities[0])
      out[out.length - 1] = { ...before, velocities: [before.velocities[0], zone.velocities[1]] }
    else out.push(zone)
  }
  return out
}

const round = (value: number, digits: number): number => Math.round(value * 10 ** digits) / 10 ** digits

function rounded(zone: Zone): Zone {
  const { envelope } = zone
  return {
    ...zone,
    root: round(zone.root, 4),
    envelope: {
      attackSeconds: round(envelope.attackSeconds, 4),
      holdSeconds: round(envelope.holdSeconds, 3),
      fallDbPerSecond: round(envelope.fallDbPerSecond, 2),
      sustainDb: round(envelope.sustainDb, 1),
      releaseDbPerSecond: round(envelope.releaseDbPerSecond, 1),
      ...(envelope.ring ? { ring: envelope.ring } : {}),
    },
    ...(zone.filterHertz === undefined ? {} : { filterHertz: Math.round(zone.filterHertz) }),
  }
}

function hashOf(content: Uint8Array): string {
  return createHash('sha256').update(content).digest('hex')
}
