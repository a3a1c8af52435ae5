/** What the players and the loudspeakers get: one sorted list of notes in time. */
export interface PlayEvent {
  // sorted by startTick, then partId, then midi
  readonly partId: string // PartSpec.id; tied notes are one event
  readonly startTick: number // notated, from the start of the arrangement
  readonly durationTicks: number
  readonly playTick: number // as played: swing, lay-back, seeded humanising; = startTick where straight; integer
  readonly playDurationTicks: number
  readonly startMs: number
  readonly durationMs: number // playTick through the tempo map and tempoScale
  readonly midi: number
  readonly velocity: number
  readonly barIndex: number
  readonly swells?: true // held melody of a wind, string or voice: 90 % at its attack, 100 % in its middle, 75 % at its end
  readonly isMelody?: true // this event is the tune's melody (exactly one part at a time has it)
}
/** writeMidi keeps 5040 ticks a quarter and writes playTick (option feel: 'notated' writes startTick). */
