/** Coming in, links, people. */

export const join = {
  gone: 'This link does not open a board',
  goneWhy: 'It may have been taken back, have run out, or lost a piece on the way. Ask whoever sent it for a new one.',
  noSession: 'You need the link to come in',
  noSessionWhy: 'This browser has not been here before. Open the link your leader sent; it is your key.',
  unreachable: 'The server cannot be reached',
  unreachableWhy: 'This browser has nothing of this board to show meanwhile. Open it again when there is a network.',
  home: 'Bring a tune of your own',
  name: 'What does the band call you?',
  plays: 'and you play',
  thatsMe: 'That’s me',
  nobody: 'somebody',
} as const

export const links = {
  leader: 'Leader',
  member: 'Band',
  listener: 'Listeners',
  leaderNote: 'Locks, opens votes, prints. For you.',
  memberNote: 'Hears, edits drafts, comments, votes. For your players.',
  listenerNote: 'Hears the options and votes. For anybody you like.',
  copy: 'Copy',
  copied: 'Copied.',
} as const

export const people = {
  title: 'People and links',
  here: 'Here now',
  you: 'you',
  nobodyElse: 'Only you, for now.',
  me: 'You',
  name: 'Your name',
  plays: 'What you play',
  save: 'Say so',
  savedName: 'Everybody sees your name now.',
  links: 'Links',
  linksNote: 'The server keeps no readable copy of a link. If one is lost, make a new one and take the old one back.',
  issue: 'Make a new link',
  issueRole: 'For',
  issueLabel: 'A note, so that you know it again',
  issuePersonal: 'For one person: every browser of theirs counts as one voter',
  issueButton: 'Make the link',
  issued: 'Here it is. It is shown only now.',
  revoke: 'Take it back',
  revoked: 'taken back',
  personal: 'one person',
  roleNames: { leader: 'Leader', member: 'Band', listener: 'Listener' },
  at: (page: string): string => `on ${page}`,
  delete: 'Delete this board',
  deleteNote:
    'Draft, ledger, votes and links are gone from the server. Backups, downloads and printed paper remain. Type the title to be sure.',
  deleteButton: 'Delete it for good',
  deleted: 'The board is gone.',
} as const
