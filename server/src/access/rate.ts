/** Token buckets: so many a second on average, so many at once. */
export class Bucket {
  private tokens: number
  private last: number
  constructor(
    private readonly perSecond: number,
    private readonly burst: number,
    now: number,
  ) {
    this.tokens = burst
    this.last = now
  }

  /** Takes `cost` where there is enough; false means too fast. `now` in ms. */
  take(now: number, cost = 1): boolean {
    this.tokens = Math.min(this.burst, this.tokens + (Math.max(0, now - this.last) / 1000) * this.perSecond)
    this.last = now
    if (this.tokens < cost) return false
    this.tokens -= cost
    return true
  }
}

/** One bucket a key, the oldest keys forgotten beyond `most`. */
export class Buckets {
  private readonly held = new Map<string, Bucket>()
  constructor(
    private readonly perSecond: number,
    private readonly burst: number,
    private readonly most: number,
  ) {}

  take(key: string, now: number): boolean {
    let bucket = this.held.get(key)
    if (bucket) this.held.delete(key)
    else bucket = new Bucket(this.perSecond, this.burst, now)
    this.held.set(key, bucket)
    if (this.held.size > this.most) {
      const [oldest] = this.held.keys()
      if (oldest !== undefined) this.held.delete(oldest)
    }
    return bucket.take(now)
  }
}
