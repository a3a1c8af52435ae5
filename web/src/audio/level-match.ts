/** Two versions of the same bars at the same loudness: what is louder is not better. */
import { type BounceRequest, render } from './bounce.js'
import { gatedLoudness } from './loudness.js'

/** Enough music to judge by, and short enough to be measured before it sounds. */
const MEASURED_MS = 8000
/** Half the usual rate is enough for loudness. */
const MEASURED_RATE = 24_000
/** Gated loudness of some seconds from a place on, dry, in LUFS. */
export async function loudnessFrom(request: BounceRequest & { readonly fromMs: number }): Promise<number> {
  const lastMs = request.events.reduce((end, event) => Math.max(end, event.startMs + event.durationMs), 0)
  const toMs = Math.min(request.toMs ?? lastMs, request.fromMs + MEASURED_MS)
  const { channels, rate } = await render({ ...request, toMs, withRoom: false, rate: MEASURED_RATE })
  return gatedLoudness(channels, rate)
}
