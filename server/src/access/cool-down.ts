/** Who is closed for abuse again and again has to wait before it comes back. A session waits for what it did itself. An address, behind which a
 *  whole house may live, waits only with what is new or was part of it: whoever is here already and did nothing comes and goes as before. */
import { LIMITS } from '../limits.js'
import { Bucket } from './rate.js'

/** An address may be closed this many times as often as one session: several people share it. */
const PEOPLE_AT_AN_ADDRESS = 4

interface Record {
  readonly allowed: Bucket
  /** Monotonic ms. */
  until: number
}

export class CoolDown {
  private readonly records = new Map<string, Record>()

  constructor(
    private readonly perMinute: number,
    private readonly waitMs: number,
  ) {}

  /** A socket of this session at this address was closed for abuse. */
  strike(address: string, session: string, now: number): void {
    this.count(`session ${session}`, this.perMinute, now)
    this.count(`address ${address}`, this.perMinute * PEOPLE_AT_AN_ADDRESS, now)
  }

  /** How long it still has to wait, ms; 0 where it may come in. Without a session: whether the address may open new ones. */
  waitOf(address: string, session: string | undefined, now: number): number {
    const own = session === undefined ? undefined : this.records.get(`session ${session}`)
    const shared = session !== undefined && own === undefined ? undefined : this.records.get(`address ${address}`)
    return Math.max(0, (own?.until ?? 0) - now, (shared?.until ?? 0) - now)
  }

  private count(key: string, perMinute: number, now: number): void {
    const record = this.records.get(key) ?? { allowed: new Bucket(perMinute / 60, perMinute, now), until: 0 }
    this.records.delete(key)
    this.records.set(key, record)
    if (!record.allowed.take(now)) record.until = now + this.waitMs
    if (this.records.size <= LIMITS.addressesRemembered) return
    const [oldest] = this.records.keys()
    if (oldest !== undefined) this.records.delete(oldest)
  }
}

/** What somebody is told who has to wait. */
export const coolingDown = (waitMs: number): string =>
  `This connection was ended for breaking the rules too often; try again in ${Math.ceil(waitMs / 1000)} seconds.`
