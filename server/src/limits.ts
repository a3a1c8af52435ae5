/** Every named limit of the server: what is refused, and how long anything may take. */
export const LIMITS = {
  bodyBytes: 1024 * 1024,
  importBytes: 16 * 1024 * 1024,
  jsonDepth: 64,
  headersMs: 10_000,
  requestMs: 30_000,
  /** One WebSocket frame. */
  frameBytes: 1024 * 1024,
  documentBytes: 8 * 1024 * 1024,
  nearDocumentBytes: 6 * 1024 * 1024,
  awarenessEntries: 1000,
  awarenessStateBytes: 4 * 1024,
  awarenessIdsPerSocket: 4,
  presenceEveryMs: 100,
  /** Frames for a whole room that come this close to the last wait for the end of the loop's turn, and go in one write. */
  togetherMs: 1,
  missingDependencyMs: 2000,
  /** How long somebody else's edits in a step 2 wait for their owner, who is just syncing. */
  ownersFirstMs: 10_000,
  parkedUpdates: 64,
  /** An update larger than this is weighed in a thread of its own before it goes in: a draft's million of tiny pieces would hold everybody up. */
  weighedFromBytes: 32 * 1024,
  piecesAtOnce: 20_000,
  /** Steps a second that pieces of one draft may take to be placed among others; a few thousand are nothing. */
  toilPerSecond: 200_000,
  toilBurst: 200_000,
  easySteps: 2000,
  easyUpdateBytes: 256,
  easyDraftBytes: 64 * 1024,
  /** A reader this far behind gets the whole state once it has caught up, instead of every message. */
  softBufferBytes: 1024 * 1024,
  hardBufferBytes: 24 * 1024 * 1024,
  behindMs: 15_000,
  closeGraceMs: 2000,
  socketBytesPerSecond: 2 * 1024 * 1024,
  socketBytesBurst: 12 * 1024 * 1024,
  burst: 3,
  asksPerSecond: 1,
  asksBurst: 10,
  savedEveryMs: 15,
  compactAfterUpdates: 5000,
  compactAfterBytes: 2 * 1024 * 1024,
  commandsPerSecond: 50,
  commandsBurst: 300,
  commandQueue: 200,
  ballotsPerSecond: 20,
  ballotsBurst: 100,
  /** Ballots of one transaction. */
  ballotsAtOnce: 500,
  /** How long a cache in front may keep a poll's options: longer than a poll's crowd comes, and gone the day after a board is deleted. */
  optionsKeptS: 86_400,
  exportsPerMinute: 12,
  exportsBurst: 6,
  ledgerPage: 1000,
  pollsPerBoard: 500,
  linksPerBoard: 500,
  jobMs: 20_000,
  jobMemoryMb: 384,
  jobQueue: 64,
  probeEveryMs: 2000,
  sweepEveryMs: 500,
  /** What a room says to other processes in this time goes as one entry. */
  relayTogetherMs: 4,
  /** Streams are asked for news no more often than this, so that a busy process reads many entries at once. */
  relayReadMs: 4,
  /** How long a room that opens waits for the same room elsewhere. */
  relayReadyMs: 1500,
  relayTrimMs: 2000,
  relayKeepMs: 10_000,
  relayAliveMs: 2000,
  relayDeadAfterMs: 7000,
  /** For so long after a process died of which something was missed, everything is read in the store. */
  relayDistrustMs: 30_000,
  /** A stream nobody says anything in any more is forgotten. */
  relayForgottenS: 86_400,
  /** Other processes' edits that their own has not saved by now are saved here. */
  coverAfterMs: 3000,
  /** The store is asked this often how far open boards have come: while processes hear each other, and while they do not. */
  watchEveryMs: 5000,
  watchDeafMs: 1000,
  drainMs: 8000,
  addressesRemembered: 20_000,
  excerptBars: 20,
  excerptLeadBars: 4,
} as const
