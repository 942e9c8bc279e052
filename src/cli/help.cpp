#include "cli/help.hpp"

#include <algorithm>
#include <array>

namespace fifthpeg::cli {
namespace {

constexpr std::array<HelpText, 6> texts{{
    {"",
     R"(fifthpeg: banjo tab from MIDI and MusicXML

  fifthpeg convert IN... -o OUT | -d DIR    write tab, notation or MIDI
  fifthpeg show IN                          print tab in the terminal
  fifthpeg describe IN                      say what is in a file
  fifthpeg advise IN                        which tuning, capo and octave suit it
  fifthpeg check IN...                      find what is wrong before anyone learns it

IN is a MIDI file, MusicXML (.musicxml, .xml) or compressed MusicXML (.mxl);
its content decides, not its name. - is standard input.
'fifthpeg COMMAND --help' says more about a command.
)",
     R"(Exit status
  0  done
  1  not playable as asked, --strict found a loss, or check found errors
  2  wrong usage
  3  an input cannot be read
  4  an output cannot be written
)"},
    {"convert",
     R"(fifthpeg convert IN... -o OUT | -d DIR [OPTIONS]

Puts the notes on a five-string banjo and writes them. The format follows OUT's
name: .musicxml or .xml, .mxl, .mid or .midi, .txt (tab as 'show' prints it).
What cannot be carried over is told on standard error.
)",
     R"(Examples
  fifthpeg convert reel.mid -o reel.musicxml
  fifthpeg convert lick.mxl -o lick.mid --channel-per-string
  fifthpeg convert *.mid -d handouts/ --to musicxml --tuning double-c
  fifthpeg convert - -o - --to txt < reel.mid

With -d, inputs that fail do not stop the others, and the exit status is that
of the first that failed. SOURCE_DATE_EPOCH sets the date written into MusicXML.
Exit status: 0 done, 1 not playable as asked or --strict found a loss, 2 wrong
usage, 3 input cannot be read, 4 output cannot be written.
)"},
    {"show",
     R"(fifthpeg show IN [OPTIONS]

Puts the notes on a five-string banjo and prints tab, string 1 on top.
)",
     R"(Examples
  fifthpeg show reel.mid
  fifthpeg show reel.mid --capo 2 --width 120
  fifthpeg show lick.mxl --refinger all --fingers | less

On a terminal the tab is as wide as COLUMNS says or else the terminal is; where
the output goes elsewhere, 80 columns. --width overrules both.
Exit status: 0 done, 1 not playable as asked, 2 wrong usage, 3 input cannot be
read, 4 output cannot be written.
)"},
    {"check",
     R"(fifthpeg check IN... [OPTIONS]

Says what is wrong in MIDI and MusicXML files: bytes, archives, the grammar,
time, ties and slurs, tab, technique, hands, and what a handout should show.
A file can ask for silence about a rule: <?fifthpeg-check silence="RULE"?> in
MusicXML, a text event "fifthpeg-check silence: RULE" in MIDI.
)",
     R"(Examples
  fifthpeg check handout/*.musicxml
  fifthpeg check lick.mxl --skip teaching --min-severity warning
  fifthpeg check session.mid --only midi-bytes --json
  fifthpeg check lick.musicxml --fix mended.musicxml
  fifthpeg check --rules

Exit status: 0 no errors, 1 errors found (with --strict: or warnings), 2 wrong
usage, 3 a file cannot be read, or not to its end.
)"},
    {"advise",
     R"(fifthpeg advise IN [OPTIONS]

Ranks tunings, capos, fifth-string capos and octaves for a tune by what it would
cost the hands, with the reasons and the options of 'convert' that do it.
)",
     R"(Examples
  fifthpeg advise fiddle-tune.mid
  fifthpeg advise session.mid --part mandolin --other-keys
  fifthpeg advise tune.musicxml --style clawhammer --json

Exit status: 0 done, 1 nothing that suits, 2 wrong usage, 3 input cannot be
read, 4 output cannot be written.
)"},
    {"describe",
     R"(fifthpeg describe IN [OPTIONS]

Says what is in a file: its parts, and which of them 'convert' would take and
why; meter, key, tempo, measures, repeats, chord symbols, techniques, positions,
and how many notes lie outside the banjo's range.
)",
     R"(Examples
  fifthpeg describe reel.mid
  fifthpeg describe session.mid --part 3 --tuning double-c
  fifthpeg describe lick.mxl --json

Exit status: 0 done, 2 wrong usage, 3 input cannot be read, 4 output cannot be
written.
)"},
}};

}  // namespace

const HelpText& help_text(std::string_view command) {
  const auto found =
      std::find_if(texts.begin(), texts.end(), [&](const HelpText& text) { return text.command == command; });
  return found == texts.end() ? texts.front() : *found;
}

}  // namespace fifthpeg::cli
