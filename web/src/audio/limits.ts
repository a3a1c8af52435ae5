/** Named limits and levels of what is heard. */
export const AUDIO = {
  /** How far ahead notes are handed to the audio clock; a stall of the page up to this long loses nothing. */
  lookAheadSeconds: 0.6,
  /** Notes that should have started longer ago than this are not started late, but left out. */
  lateSeconds: 0.03,
  /** How long a start waits until it is known where audio lies on the page's clock. */
  clockWaitMs: 600,
  /** How much what plays is moved at each look of 25 ms, where it has come apart from what was agreed: 4 ms a second, heard by nobody. */
  followSeconds: 0.0001,
  /** Voices sounding at once; beyond it the oldest is released. */
  voices: 96,
  /** Fade to silence when playing stops. */
  stopSeconds: 0.02,
  /** Time constant of a note's fade when it is cut. */
  cutSeconds: 0.004,
  /** Where the master level starts (dB), so that nobody is startled. */
  startLevelDb: -12,
  /** A file is brought up or down so that its loudest moment passes the ceiling by so much, which the limiter takes away unheard. */
  fileOverDb: 3,
  /** And is made louder by no more than this: what is soft alone stays soft. */
  fileUpDb: 12,
  /** Ceiling of the limiter (dBFS). */
  ceilingDb: -1,
  /** How long a start waits for sounds that still come over the network; after that the fallback plays until they are here. */
  soundsWaitMs: 4000,
} as const
