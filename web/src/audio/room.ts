/** The room the band plays in: early reflections and a short tail, made from seeded noise, so that two renderings are equal. */
const SECONDS = 0.9
/** Fall by 60 dB within the length. */
const DECAY_PER_SECOND = Math.log(1000) / SECONDS
const PREDELAY_SECONDS = 0.012

const rooms = new Map<number, AudioBuffer>()

export function roomResponse(context: BaseAudioContext): AudioBuffer {
  const rate = context.sampleRate
  let room = rooms.get(rate)
  if (room) return room
  room = context.createBuffer(2, Math.round(SECONDS * rate), rate)
  let state = 20_260
  const noise = () => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) / 2_147_483_648 - 1
  for (let channel = 0; channel < 2; channel++) {
    const samples = room.getChannelData(channel)
    // Walls take the high notes first: the noise is smoothed more the later it comes.
    let smooth = 0
    for (let index = Math.round(PREDELAY_SECONDS * rate); index < samples.length; index++) {
      const seconds = index / rate
      const dull = Math.min(0.85, 0.35 + seconds * 0.7)
      smooth = smooth * dull + noise() * (1 - dull)
      samples[index] = smooth * Math.exp(-DECAY_PER_SECOND * seconds)
    }
  }
  rooms.set(rate, room)
  return room
}
