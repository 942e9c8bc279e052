#include "cli/help.hpp"

#include <algorithm>
#include <array>

namespace fifthpeg::cli {
namespace {

constexpr std::array<CommandText, 10> commands{{
    {"convert", "IN... -o OUT | -d DIR", "write tab, notation or MIDI",
     R"(Places the notes on a five-string banjo and writes them. The format follows the
extension of OUT: .musicxml or .xml, .mxl, .mid or .midi, .txt (tab as 'show'
prints it). Whatever cannot be carried over is reported on standard error.
)",
     R"(fifthpeg convert reel.mid -o reel.musicxml
fifthpeg convert lick.mxl -o lick.mid --channel-per-string
fifthpeg convert *.mid -d handouts/ --to musicxml --tuning double-c
fifthpeg convert - -o - --to txt < reel.mid
)",
     R"(With -d, inputs that fail do not stop the others; they are listed at the end,
and the exit status is that of the first failure. Of several inputs, each that
loses something gets one line; --json reports everything. SOURCE_DATE_EPOCH sets
the date written into MusicXML.
)",
     R"(0 success, 1 not playable as asked or --strict found a loss,
2 invalid command line, 3 input could not be read,
4 output could not be written.
)"},
    {"arrange", "IN... -o OUT | -d DIR", "make banjo music of a melody",
     R"(Makes of a melody what a banjo player would: its notes where they belong, notes
of the chords and the drone between them, and licks where it rests. The shapes,
the capo and the octave are chosen to suit it. Every note says what it is for,
so that 'convert --only melody' gives the melody back.
)",
     R"(fifthpeg arrange fiddle-tune.mid -o tune.musicxml
fifthpeg arrange song.musicxml -o song.musicxml --level 1 --key G
fifthpeg arrange reel.mid -o reel.mid --style clawhammer --force
fifthpeg arrange hymn.mid -o hymn.musicxml --chords hymn-chords.txt
fifthpeg arrange song.mid -o song.musicxml --licks licks/ --explain
)",
     R"(Levels: 1 the notes on the beats, low on the neck; 2 also long and syncopated
ones, slides and hammer-ons; 3 all eighths; 4 also notes that come before their
beat. Chord symbols of the file are used, and where it has none they are found.
A chart of chords has barlines or lines between measures and none for a pickup:
% is the measure before again, . goes on with a chord, # begins a comment.
Licks of your own are for rolls. One begins on the last note of a phrase or
after it, over the chords that it is written over, with any capo; where its last
measure is one note on the first beat, the tune must go on with that note.
With --backup the file has two parts; 'fifthpeg sheet OUT --part 2' prints the
second.
)",
     R"(0 success, 1 not playable as asked or --strict found a loss,
2 invalid command line, 3 input could not be read,
4 output could not be written.
)"},
    {"show", "IN", "print tab in the terminal",
     R"(Places the notes on a five-string banjo and prints tab, string 1 on top.
)",
     R"(fifthpeg show reel.mid
fifthpeg show reel.mid --capo 2 --width 120
fifthpeg show mail.txt --unit 1/16
fifthpeg show lick.mxl --refinger all --fingers | less
)",
     R"(On a terminal the tab is as wide as COLUMNS says, or else as the terminal;
anywhere else it has 80 columns. --width overrides both.
)",
     R"(0 success, 1 not playable as asked, 2 invalid command line, 3 input
could not be read, 4 output could not be written.
)"},
    {"describe", "IN...", "list what a file contains",
     R"(Lists what a file contains: its parts, which of them 'convert' would read and
why; meter, key, tempo, measures, repeats, chord symbols, techniques, positions,
and how many notes lie outside the banjo's range.

Of a lick, of up to 16 measures, it says what it does as well: what it is for,
from which chord to which it leads, where it lies, its rolls and shapes, and how
hard it is, with tempos to learn it at.
)",
     R"(fifthpeg describe reel.mid
fifthpeg describe session.mid --part 3 --tuning double-c
fifthpeg describe lick.mxl --json
)",
     "",
     R"(0 success, 2 invalid command line, 3 input could not be read,
4 output could not be written.
)"},
    {"advise", "IN...", "suggest tuning, capo and octave",
     R"(Ranks the tunings, capos and fifth-string spikes that players use for the style
and the key, each in the easiest octave, with the reasons and the 'convert'
command for each. It also says what is gained where a few notes may move by an
octave (--fold).
)",
     R"(fifthpeg advise fiddle-tune.mid
fifthpeg advise session.mid --part mandolin --other-keys
fifthpeg advise tune.musicxml --style clawhammer --json
)",
     "",
     R"(0 success, 1 nothing suitable found, 2 invalid command line,
3 input could not be read, 4 output could not be written.
)"},
    {"check", "IN...", "find mistakes before anyone learns them",
     R"(Finds mistakes in MIDI, MusicXML and tab: damaged bytes and archives, the
MusicXML grammar, note values, ties and slurs, tab, technique, what hands can
play, and what a handout should show. A file can turn a rule off: with
<?fifthpeg-check silence="RULE"?> in MusicXML, or with a text event
"fifthpeg-check silence: RULE" in MIDI.
)",
     R"(fifthpeg check handout/*.musicxml
fifthpeg check lick.mxl --skip teaching --min-severity warning
fifthpeg check session.mid --only midi-bytes --json
fifthpeg check lick.musicxml --fix fixed.musicxml
fifthpeg check --rules
)",
     "",
     R"(0 no errors, 1 errors found (with --strict, or warnings), 2 invalid
command line, 3 a file could not be read, or only in part,
4 output could not be written.
)"},
    {"sheet", "IN... -o OUT", "draw tab to print, hand out and play along with",
     R"(Places the notes on a five-string banjo and draws the tab on pages: OUT ends in
.pdf, .svg or .png; - writes a PDF to standard output. Several inputs make one
handout. Pages of SVG and PNG are files of their own, OUT-1, OUT-2 and so on,
where there are several.

With .html it is one page for a browser, of a phone too, that draws the tab and
plays it: slowly, in loops, stroke by stroke, with a count-in. It needs no
network, and printed it is the sheet alone.
)",
     R"(fifthpeg sheet reel.mid -o reel.pdf --notation
fifthpeg sheet lick-*.musicxml -o week.pdf --title "Week 3" --note @week3.txt
fifthpeg sheet lick.musicxml -o lick.svg --fingers --chord-grids --phrases
fifthpeg sheet arranged.musicxml -o arranged.pdf --roles
fifthpeg sheet lick-*.musicxml -o week.html --title "Week 3"
fifthpeg sheet lick-*.musicxml -o week.pdf --phrases --in-tune tune.musicxml:7
)",
     R"(With --in-tune each lick is followed by the measures of the tune that it goes
into, with the one before and the one after it, as 'fifthpeg fit' puts it there.
)",
     R"(0 success, 1 not playable as asked, 2 invalid command line, 3 input
could not be read, 4 output could not be written.
)"},
    {"practice", "IN -o OUT", "make a track to play along with",
     R"(Plays music slowly, several times, counted in, as a MIDI file or as audio with
the sound of plucked strings: OUT ends in .mid, .wav or .flac. Repeats are
played out. In MIDI, markers name the speed and the time.
)",
     R"(fifthpeg practice lick.musicxml -o slow.wav --speed 50,65,80,100 --times 4
fifthpeg practice reel.mid -o reel.flac --measures 3-4 --click --swing
fifthpeg practice tune.musicxml -o tune.mid --backup --chords infer
)",
     R"(Audio is mono, 44.1 kHz, 16 bits, at -16 LUFS (ITU-R BS.1770), so that one
track is as loud as the next. Before a pickup, what is missing of its measure is
counted, too.
)",
     R"(0 success, 1 not playable as asked, 2 invalid command line, 3 input
could not be read, 4 output could not be written.
)"},
    {"find", "DIR...", "find licks by what they do",
     R"(Lists the licks that do what is asked, what answers best first, a line each. DIR
is a folder with all the folders in it, or a file: MIDI, MusicXML or text tab.
What is hidden is passed over, links to folders are not followed, and pieces of
more than 16 measures are no licks. Nothing is stored.
)",
     R"(fifthpeg find licks/ --from G --to C --beats 4
fifthpeg find licks/ --from D7 --to G --key D --level 1-2
fifthpeg find licks/ --use fill-in --technique slide --frets 5-12
fifthpeg find licks/ --like lick.musicxml
fifthpeg sheet $(fifthpeg find licks/ --use ending --files) -o endings.pdf
fifthpeg find licks/ --style roll -0 | xargs -0 fifthpeg check
)",
     R"(The line of a lick says what it does and, at its end, what keeps it from being
exactly what was asked. Other chord tones (D7 for D) weigh most, and with --key
shapes that do not stand in that key with a capo; a capo, chords that were not
written down and a shorter time weigh less. With --key a lick in its relative
key comes last: one in B minor for D, and one in C for Am. Of equals the easiest
is the first. 100 % alike are the same notes at the same times, in any key; what
is written twice is said to be the same as the first.
)",
     R"(0 success, also where nothing is found, 1 a lick is not playable,
2 invalid command line, 3 a file or folder could not be read, 4 output
could not be written. What cannot be read is listed at the end.
)"},
    {"fit", "IN --licks DIR|FILE...", "find where licks go in a tune, and put one in",
     R"(Lists where in a tune licks can go, the best places first, with reasons: where
the melody has come to rest or is held, over the lick's chords and on to the
next, and where both hands get in and out. With --lick and -o it puts one there:
chords, repeats and endings stay, and so does everything outside its time but
the fingers of the strokes before and after it.
)",
     R"(fifthpeg fit tune.musicxml --licks licks/
fifthpeg fit tune.mid --chords infer --licks lick-1.musicxml lick-2.musicxml
fifthpeg fit tune.musicxml --lick lick.musicxml -o tune-with-lick.musicxml
fifthpeg fit tune.musicxml --lick lick.musicxml --at 7:3 -o tune-with-lick.mid
fifthpeg fit tune.musicxml --lick lick.musicxml --try 3 -o version.musicxml
)",
     R"(A lick stands in its shapes with the tune's capo, or, where it has no open
strings but the fifth, elsewhere on the neck. With --at it goes where you want;
what speaks against that is said. --try 3 -o version.musicxml writes
version-1.musicxml, version-2.musicxml and version-3.musicxml, the best first.
)",
     R"(0 success, 1 no place, or not playable as asked or --strict found a
loss, 2 invalid command line, 3 input could not be read,
4 output could not be written.
)"},
}};

constexpr std::array<StatusText, 5> statuses{{
    {0, "success"},
    {1, "not playable as asked, --strict found a loss, or check found errors"},
    {2, "invalid command line"},
    {3, "an input could not be read"},
    {4, "an output could not be written"},
}};

// "  first        second": two columns.
std::string row(const std::string& first, std::size_t width, std::string_view second) {
  return "  " + first + std::string(width - first.size(), ' ') + std::string(second) + "\n";
}

std::string indented(std::string_view lines) {
  std::string text;
  while (!lines.empty()) {
    const std::size_t length = lines.find('\n') + 1;
    text += "  " + std::string(lines.substr(0, length));
    lines.remove_prefix(length);
  }
  return text;
}

}  // namespace

const std::string_view input_text =
    R"(IN is a MIDI file, MusicXML (.musicxml, .xml), compressed MusicXML (.mxl) or text
tab (.txt), recognized by its content, not its name. - is standard input. Where
several can be given, a folder is all the music in it and in the folders in it.
)";

std::span<const CommandText> command_texts() {
  return commands;
}

std::span<const StatusText> status_texts() {
  return statuses;
}

std::string command_names(std::string_view conjunction) {
  std::string names;
  for (const CommandText& command : commands) {
    if (&command == &commands.back()) {
      names += " " + std::string(conjunction) + " ";
    } else if (!names.empty()) {
      names += ", ";
    }
    names += command.name;
  }
  return names;
}

std::string program_help(const std::string& options) {
  std::string text = "fifthpeg: " + std::string(program_purpose) + "\n\n";
  constexpr std::size_t synopsis_width = 40;
  for (const CommandText& command : commands) {
    text += row("fifthpeg " + std::string(command.name) + " " + std::string(command.arguments),
                synopsis_width, command.purpose);
  }
  text += "\n" + std::string(input_text) + "'fifthpeg COMMAND --help' lists the options of a command.\n";
  text += options + "\nExit status\n";
  for (const StatusText& one : statuses) text += row(std::to_string(one.status), 3, one.meaning);
  return text;
}

std::string command_help(std::string_view command, const std::string& options) {
  const CommandText& text = *std::find_if(commands.begin(), commands.end(),
                                          [&](const CommandText& one) { return one.name == command; });
  return "fifthpeg " + std::string(text.name) + " " + std::string(text.arguments) + " [OPTIONS]\n\n" +
         std::string(text.description) + options + "\nExamples\n" + indented(text.examples) + "\n" +
         std::string(text.notes) + "Exit status: " + std::string(text.statuses);
}

}  // namespace fifthpeg::cli
