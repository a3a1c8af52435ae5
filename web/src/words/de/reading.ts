/** Was die Leser einer Datei zu sagen haben: ihr englischer Satz, mit {} statt seiner Werte, und der deutsche dazu. {0} ist der erste Wert,
 *  {0e} einer, der selbst noch englisch ist. */

/** Ohne die Stelle davor ('Line 3: '), die jede Seite selbst nennt. */
export const READING: { readonly [sentence: string]: string } = {
  "'({}' is no tuplet; write (3 before three notes in the time of two.":
    '„({0}“ ist keine N-tole; (3 steht vor drei Tönen in der Zeit von zweien.',
  "':' alone was read as the end of a repeat; write ':|'.":
    '„:“ allein wurde als Ende einer Wiederholung gelesen; schreibe „:|“.',
  "'>' or '<' needs a note before it in the same bar; it was skipped.":
    'Vor „>“ oder „<“ gehört ein Ton im selben Takt; es wurde übergangen.',
  "'{}' is not understood there and was skipped; take it out or put it in quotes as a remark.":
    '„{0}“ ist dort nicht verständlich und wurde übergangen; nimm es heraus oder setze es als Anmerkung in Anführungszeichen.',
  '<{}> is no MusicXML score; it should begin with <score-partwise>.':
    '<{0}> ist keine MusicXML-Partitur; sie beginnt mit <score-partwise>.',
  'A key signature of {} accidentals is none of the usual ones; it was passed over.':
    'Eine Vorzeichnung mit {0} Vorzeichen ist keine der üblichen; sie wurde übergangen.',
  "A tempo of {} quarters a minute can't be played; it was left out.":
    'Ein Tempo von {0} Vierteln in der Minute ist nicht spielbar; es wurde weggelassen.',
  'A tune has one tempo; the first was kept, changes are left to the arrangement.':
    'Ein Stück hat ein Tempo; das erste wurde behalten, Wechsel bleiben dem Arrangement überlassen.',
  'At the head, left out since a tune has no place for it: {}.':
    'Im Kopf, weggelassen, weil ein Stück keinen Platz dafür hat: {0e}.',
  'D.S. without a segno to go to; put the segno at the bar it means.':
    'D.S. ohne ein Segno, zu dem es geht; setze das Segno an den gemeinten Takt.',
  'Line {} has more than {} characters; break it into lines of a few bars.':
    'Zeile {0} hat mehr als {1} Zeichen; teile sie in Zeilen von wenigen Takten.',
  'MIDI has no note values: the melody was put on a grid of sixteenths and triplets, its loudness left out. Check its rhythm.':
    'MIDI kennt keine Notenwerte: die Melodie wurde auf ein Raster aus Sechzehnteln und Triolen gelegt, ihre Lautstärke weggelassen. Prüfe den Rhythmus.',
  "Markers that stand at no bar's beginning were left out: {}{}.":
    'Marken, die an keinem Taktanfang stehen, wurden weggelassen: {0}{1}.',
  'No tune was found: an ABC tune needs a K: line (its key) and music after it.':
    'Kein Stück gefunden: ein ABC-Stück braucht eine Zeile K: (seine Tonart) und Musik danach.',
  'Not a whole tune: {}.': 'Kein ganzes Stück: {0e}.',
  "Of {} lines '{}' was read as the melody, by its name.":
    'Von {0} Spuren wurde „{1}“ als Melodie gelesen, ihrem Namen nach.',
  "Of {} lines '{}' was read as the melody, since it lies highest.":
    'Von {0} Spuren wurde „{1}“ als Melodie gelesen, weil sie am höchsten liegt.',
  "Of {} parts '{}' was read as the melody.": 'Von {0} Stimmen wurde „{1}“ als Melodie gelesen.',
  'The MIDI file has more than {} metres, keys, markers and syllables; export the one tune by itself.':
    'Die MIDI-Datei hat mehr als {0} Taktarten, Tonarten, Marken und Silben; exportiere das eine Stück für sich.',
  'The MIDI file has more than {} notes; export the one tune by itself.':
    'Die MIDI-Datei hat mehr als {0} Töne; exportiere das eine Stück für sich.',
  'The MIDI file has {} KB; a tune may have {} KB. Export the one tune by itself.':
    'Die MIDI-Datei hat {0} KB; ein Stück darf {1} KB haben. Exportiere das eine Stück für sich.',
  'The MIDI file is damaged: {}. It was read as far as it goes; check the end.':
    'Die MIDI-Datei ist beschädigt: {0e}. Sie wurde gelesen, so weit es ging; prüfe den Schluss.',
  'The MIDI file is longer than {} bars; export the one tune by itself.':
    'Die MIDI-Datei ist länger als {0} Takte; exportiere das eine Stück für sich.',
  "The chord symbols come from '{}'.": 'Die Akkordsymbole kommen aus „{0}“.',
  'The chords were inferred from the accompaniment and are marked so. Check them.':
    'Die Akkorde wurden aus der Begleitung erschlossen und sind so gekennzeichnet. Prüfe sie.',
  'The compressed file is damaged. Save it again, or as uncompressed MusicXML (.musicxml).':
    'Die komprimierte Datei ist beschädigt. Speichere sie noch einmal, oder als unkomprimiertes MusicXML (.musicxml).',
  'The file does not say whether the key is major or minor; read as {}: {}.':
    'Die Datei sagt nicht, ob die Tonart Dur oder Moll ist; gelesen als {0}: {1e}.',
  'The file does not say which key it is in; read as {} from its notes (next {}).':
    'Die Datei sagt nicht, in welcher Tonart sie steht; nach ihren Tönen als {0} gelesen (danach {1}).',
  'The file does not say which key it is in; read as {} from its notes.':
    'Die Datei sagt nicht, in welcher Tonart sie steht; nach ihren Tönen als {0} gelesen.',
  'The file does not say which key it is in; read as {}: {}.':
    'Die Datei sagt nicht, in welcher Tonart sie steht; gelesen als {0}: {1e}.',
  'The file has more than {} lines; save the one tune by itself.':
    'Die Datei hat mehr als {0} Zeilen; speichere das eine Stück für sich.',
  'The file has {} MB; a tune file may have {} MB. Save the one tune by itself.':
    'Die Datei hat {0} MB; ein Stück darf {1} MB haben. Speichere das eine Stück für sich.',
  'The file is empty.': 'Die Datei ist leer.',
  'The file says {}, but the tune reads as {}: {}. Change its key if you agree.':
    'Die Datei sagt {0}, das Stück liest sich aber als {1}: {2e}. Ändere die Tonart, wenn du es auch so siehst.',
  "The metre {}/{} can't be counted and was passed over.":
    'Die Taktart {0}/{1} ist nicht zählbar und wurde übergangen.',
  'The order of parts names {}, which no P: in the tune begins; the bars are read as they stand.':
    'Die Folge der Teile nennt {0}, womit kein P: im Stück beginnt; die Takte werden gelesen, wie sie stehen.',
  'The part has {} bars; a tune may have {}.': 'Die Stimme hat {0} Takte; ein Stück darf {1} haben.',
  'The repeats play more than {} bars; check the repeat signs at {}.':
    'Mit den Wiederholungen sind es mehr als {0} Takte; prüfe die Wiederholungszeichen bei {1}.',
  'The tune came without chords: plain ones in its key were proposed and are marked so. Check them.':
    'Das Stück kam ohne Akkorde: einfache in seiner Tonart wurden vorgeschlagen und sind so gekennzeichnet. Prüfe sie.',
  'The tune has no metre (M:), which is free time: every bar is read as long as what stands in it.':
    'Das Stück hat keine Taktart (M:), also freies Metrum: jeder Takt ist so lang wie das, was in ihm steht.',
  'There are no pitched notes in this MIDI file.': 'In dieser MIDI-Datei ist kein Ton mit einer Tonhöhe.',
  'There is no music in this file: no bar has a note or a chord.':
    'In dieser Datei ist keine Musik: kein Takt hat einen Ton oder Akkord.',
  'There is no music in this score: no part has a note or a chord symbol.':
    'In dieser Partitur ist keine Musik: keine Stimme hat einen Ton oder ein Akkordsymbol.',
  'There is no music in this tune: no bar has a note or a chord.':
    'In diesem Stück ist keine Musik: kein Takt hat einen Ton oder Akkord.',
  'There is no score in this compressed file. Save it as uncompressed MusicXML (.musicxml).':
    'In dieser komprimierten Datei ist keine Partitur. Speichere sie als unkomprimiertes MusicXML (.musicxml).',
  'This MIDI file counts film frames, not beats, so no bars can be read from it. Export it again with beats (PPQ).':
    'Diese MIDI-Datei zählt Filmbilder statt Schläge, so dass sich keine Takte lesen lassen. Exportiere sie noch einmal mit Schlägen (PPQ).',
  'This MIDI file has {} lines; line {} is not in it.': 'Diese MIDI-Datei hat {0} Spuren; Spur {1} ist nicht dabei.',
  'This MIDI file holds {} pieces that do not belong together (format 2); the first with notes was read.':
    'Diese MIDI-Datei enthält {0} Stücke, die nicht zusammengehören (Format 2); das erste mit Tönen wurde gelesen.',
  'This MIDI file is damaged or cut short and could not be read. Export it again.':
    'Diese MIDI-Datei ist beschädigt oder abgeschnitten und nicht lesbar. Exportiere sie noch einmal.',
  'This file has one tune without a number; tune {} is not in it.':
    'Diese Datei hat ein Stück ohne Nummer; Stück {0} ist nicht dabei.',
  'This file has {} tunes ({}{}); the first was read. Choose another by its number.':
    'Diese Datei hat {0} Stücke ({1}{2}); das erste wurde gelesen. Ein anderes wählst du nach seiner Nummer.',
  'This score has {} parts with notes; part {} is not in it.':
    'Diese Partitur hat {0} Stimmen mit Noten; Stimme {1} ist nicht dabei.',
  'Tune {} is not in this file; it has {}.': 'Stück {0} ist nicht in dieser Datei; sie hat {1}.',
  "U: '{}' gives no sign a meaning; write U: T = !trill!.":
    'U: „{0}“ gibt keinem Zeichen eine Bedeutung; schreibe U: T = !trill!.',
  'Unpacked, the score would have {} MB; a tune file may have {} MB.':
    'Ausgepackt hätte die Partitur {0} MB; ein Stück darf {1} MB haben.',
  "Where notes of the melody's line sound together the top note is read as the melody ({} lower ones left out).":
    'Wo Töne der Melodiespur zugleich klingen, ist der oberste die Melodie ({0} tiefere weggelassen).',
  '[{}:] inside the music is not known and was skipped.': '[{0}:] in der Musik ist unbekannt und wurde übergangen.',
  'a % beside other chords means nothing and was left out.':
    'Ein % neben anderen Akkorden bedeutet nichts und wurde weggelassen.',
  'a chord symbol stands after the last note and was left out.':
    'Ein Akkordsymbol steht nach dem letzten Ton und wurde weggelassen.',
  'a note is never ended; it was held to the end of the track.':
    'Ein Ton endet nie; er wurde bis zum Ende der Spur gehalten.',
  'a note of no length was left out; it needs a duration.':
    'Ein Ton ohne Länge wurde weggelassen; er braucht eine Dauer.',
  'a note of no length was left out; write a length such as 2 or /2.':
    'Ein Ton ohne Länge wurde weggelassen; schreibe eine Länge wie 2 oder /2.',
  "a second voice begins with '&'; only the first is read.":
    'Mit „&“ beginnt eine zweite Stimme; nur die erste wird gelesen.',
  "a tempo of {} quarters a minute can't be played; it was left out.":
    'Ein Tempo von {0} Vierteln in der Minute ist nicht spielbar; es wurde weggelassen.',
  'a transposition of {} half steps is none an instrument has; the notes are read as they stand.':
    'Um {0} Halbtöne transponiert kein Instrument; die Noten werden gelesen, wie sie stehen.',
  'a tune has one tempo; the change is left to the arrangement.':
    'Ein Stück hat ein Tempo; der Wechsel bleibt dem Arrangement überlassen.',
  'an empty line ended the tune, so this and what follows was not read. Take the empty line out if it belongs to the tune.':
    'Eine leere Zeile hat das Stück beendet; dies und was folgt wurde nicht gelesen. Nimm die leere Zeile heraus, wenn es zum Stück gehört.',
  'chord \'{}\' could not be read: {} Write it another way, or as a remark: "^{}".':
    'Der Akkord „{0}“ war nicht lesbar: {1e} Schreibe ihn anders, oder als Anmerkung: "^{2}".',
  "field '{}:' is not known and was skipped.": 'Das Feld „{0}:“ ist unbekannt und wurde übergangen.',
  'free time (senza misura) is read as bars as long as what stands in them.':
    'Freies Metrum (senza misura) wird als Takte gelesen, so lang wie das, was in ihnen steht.',
  'instructions for programs are not used: {}.': 'Anweisungen an Programme werden nicht verwendet: {0e}.',
  'left out, since a tune cannot hold it: {}.': 'Weggelassen, weil ein Stück es nicht aufnehmen kann: {0e}.',
  'm: (a macro) is not used; write the music out.': 'm: (ein Makro) wird nicht verwendet; schreibe die Musik aus.',
  'marks for playing have no place in a tune; the arrangement brings its own. Left out: {}.':
    'Spielzeichen haben in einem Stück keinen Platz; das Arrangement bringt seine eigenen. Weggelassen: {0e}.',
  "metre '{}' can't be counted; 4/4 is taken. Write M:3/4, M:6/8, M:C …":
    'Die Taktart „{0}“ ist nicht zählbar; 4/4 wird genommen. Schreibe M:3/4, M:6/8, M:C …',
  'more than {} bars; is this one tune?': 'Mehr als {0} Takte; ist das ein einziges Stück?',
  'more than {} chord symbols in one place.': 'Mehr als {0} Akkordsymbole an einer Stelle.',
  'more than {} notes and signs; save the one tune by itself.':
    'Mehr als {0} Töne und Zeichen; speichere das eine Stück für sich.',
  'more than {} notes in one bar.': 'Mehr als {0} Töne in einem Takt.',
  'more than {} notes or {} chords in one bar; are its bar lines missing?':
    'Mehr als {0} Töne oder {1} Akkorde in einem Takt; fehlen Taktstriche?',
  'more than {} notes without a bar line; put the bar lines in.':
    'Mehr als {0} Töne ohne einen Taktstrich; setze die Taktstriche.',
  'more than {} parts.': 'Mehr als {0} Stimmen.',
  'music begins before any K: line; it is read in C major. Put K: and the key before it.':
    'Die Musik beginnt vor jeder Zeile K:; sie wird in C-Dur gelesen. Setze K: mit der Tonart davor.',
  "no tempo is given; a {}'s is taken, {}={}. Write Q: for another.":
    'Es ist kein Tempo angegeben; das eines Tanzes ({0e}) wird genommen, {1}={2}. Schreibe Q: für ein anderes.',
  "note length '{}' can't be read; write L:1/8.": 'Die Notenlänge „{0}“ ist nicht lesbar; schreibe L:1/8.',
  'notes without a pitch are read as rests.': 'Noten ohne Tonhöhe werden als Pausen gelesen.',
  "of '{}' the first chord was read, the other left out.":
    'Von „{0}“ wurde der erste Akkord gelesen, der andere weggelassen.',
  'of two chords in one symbol the first was read.': 'Von zwei Akkorden in einem Symbol wurde der erste gelesen.',
  'of {} and {} in one place the later was read.': 'Von {0} und {1} an einer Stelle wurde das spätere gelesen.',
  'only the first verse is kept under the notes.': 'Nur die erste Strophe bleibt unter den Noten.',
  'only voice {} is read as the melody; the other voices are left out.':
    'Nur die Stimme {0} wird als Melodie gelesen; die anderen werden weggelassen.',
  "rights '{}' is none of own, public-domain, licensed, unknown.":
    'Rechte „{0}“: möglich sind own, public-domain, licensed, unknown.',
  'slashes and cue notes are read as rests.': 'Schrägstriche und Stichnoten werden als Pausen gelesen.',
  "tempo '{}' could not be read; write Q:1/4=120.": 'Das Tempo „{0}“ war nicht lesbar; schreibe Q:1/4=120.',
  'the XML is broken: {} Save the file again from where it was made.':
    'Das XML ist fehlerhaft: {0e} Speichere die Datei dort noch einmal, wo sie entstanden ist.',
  'the bar is {} beats long in {}/{}; it was cut into bars. Put in the missing bar lines.':
    'Der Takt ist {0} Schläge lang in {1}/{2}; er wurde in Takte geteilt. Setze die fehlenden Taktstriche.',
  'the chord could not be read: {}': 'Der Akkord war nicht lesbar: {0e}',
  "the file counts back to before the bar; read from the bar's beginning. Check the durations.":
    'Die Datei zählt bis vor den Takt zurück; gelesen ab dem Taktanfang. Prüfe die Dauern.',
  "the file defines its own entities (DOCTYPE with '['); such files are not opened. Save it again from a notation program.":
    'Die Datei definiert eigene Entities (DOCTYPE mit „[“); solche Dateien werden nicht geöffnet. Speichere sie noch einmal aus einem Notenprogramm.',
  'the file has {}; no tune needs that.': 'Die Datei hat {0e}; das braucht kein Stück.',
  'the key changes inside the bar; it is taken for the whole bar.':
    'Die Tonart wechselt im Takt; sie gilt für den ganzen Takt.',
  'the metre changes inside the bar; it is taken for the whole bar.':
    'Die Taktart wechselt im Takt; sie gilt für den ganzen Takt.',
  'the note is beyond any instrument and was read as a rest; check its octave marks.':
    'Der Ton liegt jenseits jedes Instruments und wurde als Pause gelesen; prüfe seine Oktavzeichen.',
  "the order of parts '{}' could not be read; write P:AABA.":
    'Die Folge der Teile „{0}“ war nicht lesbar; schreibe P:AABA.',
  'the part changes instrument; everything is read with the first transposition.':
    'Die Stimme wechselt das Instrument; alles wird mit der ersten Transposition gelesen.',
  'the pitch is none that can be played; read as a rest.': 'Die Tonhöhe ist nicht spielbar; als Pause gelesen.',
  'the pitch lies between the semitones; read as the nearest.':
    'Die Tonhöhe liegt zwischen den Halbtönen; als nächster Halbton gelesen.',
  'the rests before the first note were taken off; the bar is a pickup.':
    'Die Pausen vor dem ersten Ton wurden weggenommen; der Takt ist ein Auftakt.',
  'the tie after {} leads to no note of the same pitch and was left out.':
    'Der Bindebogen nach {0} führt zu keinem gleichen Ton und wurde weggelassen.',
  "the tuplet '({}' lacks {} of its notes before the bar line; the next bar is read plain.":
    'Der N-tole „({0}“ fehlen {1} ihrer Töne vor dem Taktstrich; der nächste Takt wird ohne sie gelesen.',
  'there are more syllables than notes in the music line before; the last were left out.':
    'Es sind mehr Silben als Töne in der Zeile davor; die letzten wurden weggelassen.',
  'this is no ABC tune; one begins with X:1, T: its title and K: its key.':
    'Das ist kein ABC-Stück; eines beginnt mit X:1, T: (Titel) und K: (Tonart).',
  'this key signature is none of the usual ones; the one before goes on.':
    'Diese Vorzeichnung ist keine der üblichen; die vorige gilt weiter.',
  "this time signature can't be counted; the metre before goes on.":
    'Diese Taktangabe ist nicht zählbar; die vorige Taktart gilt weiter.',
  'voice {} is not read; the melody is taken from voice {}.':
    'Die Stimme {0} wird nicht gelesen; die Melodie kommt aus Stimme {1}.',
  'voice {} is silent; voice {} was read as the melody.':
    'Die Stimme {0} schweigt; Stimme {1} wurde als Melodie gelesen.',
  'where notes stand together the top note is read as the melody.':
    'Wo Töne zugleich stehen, ist der oberste die Melodie.',
  'words that name no chord, section, tempo or way through the piece are left out: {}.':
    'Wörter, die keinen Akkord, Abschnitt, kein Tempo und keinen Ablauf nennen, sind weggelassen: {0e}.',
  '{}': '{0e}',
  '{} bars are more than the {} that one tune may have.': '{0} Takte sind mehr als die {1}, die ein Stück haben darf.',
  '{} bars of rest are more than a tune may have.': '{0} Takte Pause sind mehr, als ein Stück haben darf.',
  '{} beats in a bar of {}; kept as a bar of {}/{}. Shorten a note or put in the bar line.':
    '{0} Schläge in einem Takt von {1}; als {2}/{3}-Takt behalten. Kürze einen Ton oder setze den Taktstrich.',
  '{} beats in a bar of {}; the rest was filled with silence. Add the missing note or rest.':
    '{0} Schläge in einem Takt von {1}; der Rest wurde mit Stille gefüllt. Ergänze den fehlenden Ton oder die Pause.',
  '{} is longer than 64 quarters; check its durations and divisions.':
    '{0} ist länger als 64 Viertel; prüfe Dauern und Divisions.',
  '{} more places were not understood; mend these first.':
    '{0} weitere Stellen wurden nicht verstanden; bringe zuerst diese in Ordnung.',
  '{} stands behind the end of the bar and was left out.': '{0} steht hinter dem Ende des Takts und wurde weggelassen.',
  '{} syllables of the words stand where the melody has no note of their own; they were left out.':
    '{0} Silben des Texts stehen, wo die Melodie keinen eigenen Ton für sie hat; sie wurden weggelassen.',
  '{}: lines are not used; put chord symbols in quotes before their note.':
    'Zeilen mit {0}: werden nicht verwendet; setze Akkordsymbole in Anführungszeichen vor ihren Ton.',
}
