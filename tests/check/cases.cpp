#include "check/cases.hpp"

#include <map>
#include <zip.h>

#include "check/sample.hpp"

namespace check_test {
namespace {

std::string handed(const std::vector<Change>& changes) {
  return changed(handout, changes);
}

// A broken handout, and a neighbor; the place is the line of a mark in the broken one.
Case music(std::string rule, const std::vector<Change>& bad, const std::string& mark,
           const std::vector<Change>& near = {}) {
  Case one;
  one.rule = std::move(rule);
  one.bad = handed(bad);
  one.near = handed(near);
  if (!mark.empty()) one.line = line_of(one.bad, mark);
  return one;
}

Case midi_case(std::string rule, std::string bad, std::int64_t byte, std::string near = clean_midi) {
  Case one;
  one.rule = std::move(rule);
  one.bad = std::move(bad);
  one.near = std::move(near);
  one.byte = byte;
  return one;
}

struct Entry {
  std::string name;
  std::string content;
  bool packed = true;
};

std::string archive(const std::vector<Entry>& entries) {
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* out = zip_source_buffer_create(nullptr, 0, 0, &error);
  zip_source_keep(out);
  zip_t* zip = zip_open_from_source(out, ZIP_TRUNCATE, &error);
  for (const Entry& entry : entries) {
    zip_source_t* source = zip_source_buffer(zip, entry.content.data(), entry.content.size(), 0);
    const zip_int64_t index = zip_file_add(zip, entry.name.c_str(), source, ZIP_FL_ENC_UTF_8);
    if (!entry.packed) zip_set_file_compression(zip, static_cast<zip_uint64_t>(index), ZIP_CM_STORE, 0);
  }
  zip_close(zip);
  zip_source_open(out);
  std::string bytes(1 << 20, '\0');
  const zip_int64_t size = zip_source_read(out, bytes.data(), bytes.size());
  bytes.resize(size < 0 ? 0 : static_cast<std::size_t>(size));
  zip_source_close(out);
  zip_source_free(out);
  return bytes;
}

std::string container(const std::string& rootfile) {
  return "<?xml version=\"1.0\"?>\n<container><rootfiles>" + rootfile + "</rootfiles></container>";
}
const std::string rootfile = "<rootfile full-path=\"score.musicxml\"/>";

std::string mxl(const std::string& list, const std::string& name = "score.musicxml") {
  return archive({{"META-INF/container.xml", list}, {name, handout}});
}

Case archive_case(std::string rule, std::string bad, std::string near = mxl(container(rootfile))) {
  return {std::move(rule), std::move(bad), std::move(near)};
}

// ---- MIDI bytes: places are computed from the bytes themselves ----

constexpr std::int64_t first_event = 22;  // header 14, chunk header 8
const std::int64_t after_head = first_event + static_cast<std::int64_t>(midi_head.size());

void add_midi(std::vector<Case>& all) {
  const std::string music_bytes = midi_head + midi_notes;
  const std::string end = midi_end;
  const auto whole = [&](const std::string& middle) { return midi(midi_head + middle + midi_notes + end); };
  const auto header = [&](const std::string& body) {
    return chunk("MThd", body) + chunk("MTrk", music_bytes + end);
  };

  all.push_back(midi_case("midi-no-header",
                          "RIFF" + std::string(4, '\x10') + "RMID" + "data" + bytes({4, 0, 0, 0}) + "MTrk",
                          20));
  all.push_back(midi_case("midi-header-length", header(bytes({0, 0, 0, 1, 0})), 4));
  all.push_back(
      midi_case("midi-format", header(bytes({0, 3, 0, 1, 0, 96})), 8, header(bytes({0, 1, 0, 1, 0, 96}))));
  all.push_back(midi_case("midi-division", header(bytes({0, 0, 0, 1, 0, 0})), 12,
                          header(bytes({0, 0, 0, 1, 0xE7, 40}))));  // 25 frames of 40 ticks
  all.push_back(midi_case("midi-cut-off", clean_midi.substr(0, clean_midi.size() - 6),
                          static_cast<std::int64_t>(clean_midi.size()) - 6));
  all.push_back(midi_case("midi-no-chunk",
                          chunk("MThd", bytes({0, 1, 0, 2, 0, 96})) + chunk("MTrk", music_bytes + end) +
                              bytes({1, 2, 3, 4, 5, 6, 7, 8}),
                          static_cast<std::int64_t>(clean_midi.size())));
  all.push_back(midi_case("midi-no-tracks", chunk("MThd", bytes({0, 0, 0, 1, 0, 96})), 14));
  all.push_back(midi_case("midi-track-count", header(bytes({0, 1, 0, 3, 0, 96})), 10,
                          header(bytes({0, 1, 0, 1, 0, 96}))));
  const std::string two = chunk("MTrk", midi_head + end) + chunk("MTrk", midi_notes + end);
  all.push_back(midi_case("midi-format-0-tracks", chunk("MThd", bytes({0, 0, 0, 2, 0, 96})) + two, 10,
                          chunk("MThd", bytes({0, 1, 0, 2, 0, 96})) + two));
  std::string long_track = clean_midi;
  long_track[21] = static_cast<char>(long_track[21] + 50);
  all.push_back(midi_case("midi-track-length", long_track, 18));
  all.push_back(midi_case("midi-long-number", whole(bytes({0x81, 0x81, 0x81, 0x81, 1, 0x90, 55, 80})),
                          after_head, whole(bytes({0x80, 0x80, 0x80, 0, 0xB0, 7, 100}))));
  all.push_back(midi_case("midi-no-status", midi(bytes({0, 55, 80}) + end), first_event + 1));
  all.push_back(midi_case("midi-status", whole(bytes({0, 0xF5, 1})), after_head + 1));
  all.push_back(midi_case("midi-data-byte", whole(bytes({0, 0x90, 55, 0x85})), after_head + 3,
                          whole(bytes({0, 0xB0, 7, 0x7F}))));
  all.push_back(midi_case("midi-meta-type", whole(bytes({0, 0xFF, 0x85, 0})), after_head + 2));
  const std::string note_on = bytes({0, 0x90, 55, 80});
  all.push_back(midi_case("midi-running-status",
                          midi(midi_head + note_on + bytes({0, 0xFF, 1, 1, 'x', 96, 55, 0}) + end),
                          after_head + 10, midi(midi_head + note_on + bytes({96, 55, 0}) + end)));
  all.push_back(midi_case("midi-system-message", whole(bytes({0, 0xF8})), after_head + 1));
  all.push_back(midi_case("midi-no-end-of-track", midi(music_bytes),
                          static_cast<std::int64_t>(midi(music_bytes).size())));
  all.push_back(midi_case("midi-early-end", midi(music_bytes + end + bytes({0, 0xB0, 7, 1})),
                          static_cast<std::int64_t>(clean_midi.size())));
  all.push_back(midi_case("midi-bytes-after-end", clean_midi + bytes({0, 0, 0}),
                          static_cast<std::int64_t>(clean_midi.size())));
  all.push_back(midi_case("midi-tempo", whole(bytes({0, 0xFF, 0x51, 3, 0, 0, 0})), after_head + 1,
                          whole(bytes({0, 0xFF, 0x51, 3, 0x02, 0x00, 0x00}))));
  all.push_back(midi_case("midi-meter", whole(bytes({0, 0xFF, 0x58, 4, 0, 2, 24, 8})), after_head + 1,
                          whole(bytes({0, 0xFF, 0x58, 4, 6, 3, 24, 8}))));
  all.push_back(midi_case("midi-hanging-note", midi(midi_head + note_on + bytes({96, 0xB0, 7, 1}) + end), -1,
                          midi(midi_head + note_on + bytes({96, 0x90, 55, 0}) + end)));
  // Struck at one tick it is a unison of two strings.
  const std::string twice = bytes({96, 0x80, 55, 0, 0, 0x80, 55, 0});
  all.push_back(midi_case("midi-overlapping-note",
                          midi(midi_head + note_on + bytes({48, 0x90, 55, 80}) + twice + end), -1,
                          midi(midi_head + note_on + note_on + twice + end)));
  all.push_back(midi_case("midi-stray-note-off", whole(bytes({0, 0x80, 40, 0})), -1));
  const std::string bend = bytes({0, 0xE0, 0, 0x50});
  all.push_back(midi_case("midi-bend-without-range", whole(bend), -1,
                          whole(bytes({0, 0xB0, 101, 0, 0, 0xB0, 100, 0, 0, 0xB0, 6, 2}) + bend)));
}

void add_container(std::vector<Case>& all) {
  all.push_back({"file-unknown", "%PDF-1.7 a picture of music", handout});
  Case lies = music("file-encoding-lies", {{"UTF-8", "UTF-16"}}, "");
  lies.line = 1;
  all.push_back(lies);
  // Latin-1 and UTF-8 mixed: no encoding explains it.
  all.push_back(music("file-encoding-broken",
                      {{"Lick",
                        "L\xC3\xA9"
                        "ck \xE9"}},
                      "<work>",
                      {{"Lick",
                        "L\xC3\xA9"
                        "ck"}}));
  Case unknown = music("file-encoding-unknown", {{"UTF-8", "X-BANJO"}}, "", {{"UTF-8", "utf-8"}});
  unknown.line = 1;
  all.push_back(unknown);
  all.push_back({"file-too-large", std::string((64U << 20U) + 1, ' '), handout});
  const std::string good = mxl(container(rootfile));
  all.push_back(archive_case("mxl-damaged", good.substr(0, good.size() / 2)));
  all.push_back(archive_case("mxl-no-container", archive({{"score.musicxml", handout}})));
  all.push_back(archive_case("mxl-container", mxl(container(""))));
  all.push_back(archive_case("mxl-container-grammar",
                             mxl(container("<rootfile full-path=\"score.musicxml\" colour=\"1\"/>"))));
  all.push_back(archive_case("mxl-no-rootfile", mxl(container(rootfile), "other.musicxml")));
  all.push_back(archive_case(
      "mxl-media-type",
      mxl(container("<rootfile full-path=\"score.musicxml\" media-type=\"application/pdf\"/>" + rootfile)),
      mxl(container("<rootfile full-path=\"score.musicxml\" "
                    "media-type=\"application/vnd.recordare.musicxml+xml\"/>"))));
  const std::string type = "application/vnd.recordare.musicxml";
  const Entry list{"META-INF/container.xml", container(rootfile)};
  const Entry score{"score.musicxml", handout};
  const std::string right = archive({{"mimetype", type, false}, list, score});
  all.push_back(
      archive_case("mxl-mimetype", archive({{"mimetype", "text/plain", false}, list, score}), right));
  all.push_back(archive_case("mxl-mimetype", archive({list, {"mimetype", type, false}, score}), right));
  all.push_back(archive_case("mxl-path", archive({list, score, {"../../evil", "x"}}),
                             archive({list, score, {"notes..txt", "x"}})));
}

void add_grammar(std::vector<Case>& all) {
  const std::string c = "<!--c-->";
  all.push_back(music("grammar-not-xml", {{"<!--c--><pitch>", "<!--c--><pitch"}}, c));
  std::string deep;
  for (int i = 0; i < 300; ++i) deep += "<x>";
  all.push_back(music("grammar-too-much", {{"<!--c-->", "<!--c-->" + deep}}, c));
  all.push_back(music("grammar-wrong-root", {{"<score-partwise", "<score"}, {"</score-partwise", "</score"}},
                      "<score"));
  all.push_back(music("grammar-unknown-element", {{"<!--c-->", "<!--c--><string>1</string>"}}, c));
  all.push_back(music("grammar-misplaced-element", {{"<!--c-->", "<!--c--><voice>1</voice>"}}, c));
  all.push_back(
      music("grammar-missing-element", {{"<step>C</step><octave>4</octave>", "<step>C</step>"}}, c));
  all.push_back(music("grammar-unexpected-text", {{"<!--c-->", "<!--c-->hm"}}, c));
  all.push_back(music("grammar-bad-value", {{"<step>C</step>", "<step>H</step>"}}, c));
  all.push_back(music("grammar-unknown-attribute", {{"<note><!--c-->", "<note string=\"2\"><!--c-->"}}, c,
                      {{"<note><!--c-->", "<note dynamics=\"90\"><!--c-->"}}));
  all.push_back(music("grammar-missing-attribute", {{"<measure number=\"2\">", "<measure>"}}, "<measure>"));
  all.push_back(
      music("grammar-repeated-id",
            {{"<note><!--c-->", "<note id=\"x\"><!--c-->"}, {"<note><!--d-->", "<note id=\"x\"><!--d-->"}},
            "<!--d-->",
            {{"<note><!--c-->", "<note id=\"x\"><!--c-->"}, {"<note><!--d-->", "<note id=\"y\"><!--d-->"}}));
  all.push_back(music("grammar-dangling-reference", {{"<part id=\"P1\">", "<part id=\"P2\">"}}, "<part id"));
  all.push_back(music(
      "grammar-unfetched-entity",
      {{"<score-partwise", "<!DOCTYPE score-partwise SYSTEM \"x.dtd\"><score-partwise"}, {"Lick", "&lick;"}},
      "&lick;", {{"Lick", "&lt;Lick&gt;"}}));
  all.push_back(music("grammar-older-version", {{"version=\"4.0\"", "version=\"3.1\""}}, ""));
}

void add_time(std::vector<Case>& all) {
  all.push_back(music("time-no-divisions", {{"<divisions>6</divisions>", ""}}, "<!--a-->"));
  all.push_back(
      music("time-measure-too-long",
            {{"<duration>12</duration><tie type=\"stop\"/>", "<duration>18</duration><tie type=\"stop\"/>"},
             {"<type>half</type><notations><tied type=\"stop\"",
              "<type>half</type><dot/><notations><tied type=\"stop\""}},
            "<measure number=\"3\">"));
  // Short in the middle; the neighbor is split in two by a barline, as at a repeat.
  const std::string e_note = handout.substr(handout.find("<note><!--e-->"),
                                            handout.find("<note><!--f-->") - handout.find("<note><!--e-->"));
  all.push_back(
      music("time-measure-too-short", {{e_note, ""}}, "<measure number=\"2\">",
            {{"<note><!--f-->", "</measure>\n<measure number=\"X1\" implicit=\"yes\">\n<note><!--f-->"}}));
  const std::string a_note = handout.substr(handout.find("<note><!--a-->"),
                                            handout.find("<note><!--c-->") - handout.find("<note><!--a-->"));
  all.push_back(music("time-pickup-unmarked", {{a_note, ""}}, "<measure number=\"1\">",
                      {{a_note, ""}, {"<measure number=\"1\">", "<measure number=\"1\" implicit=\"yes\">"}}));
  const std::string backup = "<backup><duration>6</duration></backup>\n";
  all.push_back(music("time-voices-overlap", {{"<note><!--c-->", backup + "<note><!--c-->"}}, "<!--c-->",
                      {{"<note><!--d-->",
                        "<backup><duration>6</duration></backup><forward><duration>6</duration></"
                        "forward>\n<note><!--d-->"}}));
  all.push_back(music("time-voice-hole",
                      {{"<note><!--b-->", "<forward><duration>6</duration></forward>\n<note><!--b-->"}},
                      "<!--b-->"));
  all.push_back(music("time-type-contradicts-duration",
                      {{"<!--c--><pitch><step>C</step><octave>4</octave></pitch><duration>6</"
                        "duration><voice>1</voice><type>quarter",
                        "<!--c--><pitch><step>C</step><octave>4</octave></pitch><duration>6</"
                        "duration><voice>1</voice><type>eighth"}},
                      "<!--c-->"));
  // Without its time-modification a triplet's quarter is too short; with it, all is well.
  all.push_back(
      music("time-type-contradicts-duration",
            {{"<type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</"
              "normal-notes></time-modification><notations><tuplet type=\"start\"/>",
              "<type>quarter</type><notations><tuplet type=\"start\"/>"}},
            "<!--i-->"));
  all.push_back(music(
      "time-no-type",
      {{"<!--a--><pitch><step>G</step><octave>3</octave></pitch><duration>6</duration><voice>1</"
        "voice><type>quarter</type>",
        "<!--a--><pitch><step>G</step><octave>3</octave></pitch><duration>6</duration><voice>1</voice>"}},
      "<!--a-->"));
  all.push_back(music(
      "time-backup-too-far", {{"<note><!--b-->", "<backup><duration>30</duration></backup>\n<note><!--b-->"}},
      "<backup>", {{"<note><!--b-->", "<backup><duration>6</duration></backup>\n<note><!--b-->"}}));
  all.push_back(music("time-chord-alone", {{"<!--l-->", "<!--l--><chord/>"}}, "<!--l-->"));
  all.push_back(music("time-chord-longer",
                      {{"<!--o--><chord/><pitch><step>G</step><octave>3</octave></pitch><duration>12",
                        "<!--o--><chord/><pitch><step>G</step><octave>3</octave></pitch><duration>18"}},
                      "<!--o-->",
                      {{"<!--o--><chord/><pitch><step>G</step><octave>3</octave></pitch><duration>12",
                        "<!--o--><chord/><pitch><step>G</step><octave>3</octave></pitch><duration>9"}}));
}

void add_pairs(std::vector<Case>& all) {
  const Change no_stop{"<tie type=\"stop\"/>", ""};
  const Change not_drawn{"<tied type=\"stop\"/>", ""};
  all.push_back(music("pairs-tie", {no_stop, not_drawn}, "<!--g-->"));
  all.push_back(
      music("pairs-tie", {{"<tie type=\"start\"/>", ""}, {"<tied type=\"start\"/>", ""}}, "<!--h-->"));
  all.push_back(music("pairs-tie-pitch", {{"<!--h--><pitch><step>D</step>", "<!--h--><pitch><step>E</step>"}},
                      "<!--h-->",
                      // Enharmonic, and the same string.
                      {{"<!--h--><pitch><step>D</step><octave>4",
                        "<!--h--><pitch><step>C</step><alter>2</alter><octave>4"}}));
  all.push_back(music("pairs-tie-not-shown", {not_drawn}, "<!--h-->"));
  all.push_back(music("pairs-tie-not-heard", {no_stop}, "<!--h-->"));
  all.push_back(music("pairs-slur", {{"<slur type=\"stop\"/>", ""}}, "<!--l-->"));
  // From one voice into another that stands before it in the file.
  all.push_back(music("pairs-slur", {{"<slur type=\"start\"/>", ""}}, "<!--m-->"));
  all.push_back(music("pairs-slide", {{"<slide type=\"stop\"/>", ""}}, "<!--e-->"));
  all.push_back(music("pairs-hammer-on", {{"<hammer-on type=\"stop\"/>", ""}}, "<!--a-->"));
  all.push_back(music("pairs-pull-off", {{"<pull-off type=\"start\">P</pull-off>", ""}}, "<!--d-->"));
  all.push_back(music("pairs-tuplet", {{"<tuplet type=\"stop\"/>", ""}}, "<!--i-->"));
  all.push_back(music("pairs-repeat", {{"<repeat direction=\"backward\"/>", ""}},
                      "<repeat direction=\"forward\"/>", {{"<repeat direction=\"forward\"/>", ""}}));
  all.push_back(music("pairs-ending", {{"<ending number=\"1\" type=\"stop\"/>", ""}},
                      "<ending number=\"1\" type=\"start\"/>",
                      {{"type=\"stop\"/><repeat", "type=\"discontinue\"/><repeat"}}));
  const std::string ds =
      "<direction><direction-type><words>D.S.</words></direction-type><sound dalsegno=\"s\"/></direction>\n";
  const std::string segno =
      "<direction><direction-type><segno/></direction-type><sound segno=\"s\"/></direction>\n";
  all.push_back(
      music("pairs-dal-segno", {{"<note><!--n-->", ds + "<note><!--n-->"}}, "D.S.",
            {{"<note><!--n-->", ds + "<note><!--n-->"}, {"<note><!--e-->", segno + "<note><!--e-->"}}));
  const std::string to_coda =
      "<direction><direction-type><words>To Coda</words></direction-type><sound tocoda=\"c\"/></direction>\n";
  const std::string coda =
      "<direction><direction-type><coda/></direction-type><sound coda=\"c\"/></direction>\n";
  all.push_back(
      music("pairs-to-coda", {{"<note><!--h-->", to_coda + "<note><!--h-->"}}, "To Coda",
            {{"<note><!--h-->", to_coda + "<note><!--h-->"}, {"<note><!--l-->", coda + "<note><!--l-->"}}));
  const std::string fine =
      "<direction><direction-type><words>Fine</words></direction-type><sound fine=\"yes\"/></direction>\n";
  const std::string dc =
      "<direction><direction-type><words>D.C.</words></direction-type><sound dacapo=\"yes\"/></direction>\n";
  all.push_back(
      music("pairs-fine", {{"<note><!--e-->", fine + "<note><!--e-->"}}, "Fine",
            {{"<note><!--e-->", fine + "<note><!--e-->"}, {"<note><!--n-->", dc + "<note><!--n-->"}}));
}

void add_tab(std::vector<Case>& all) {
  all.push_back(music("tab-fret-contradicts-pitch",
                      {{"<string>4</string><fret>4</fret>", "<string>4</string><fret>5</fret>"}}, "<!--f-->",
                      // The same pitch on another string.
                      {{"<string>1</string><fret>0</fret><pluck>M</pluck></technical></notations></note>\n</"
                        "measure>\n<measure number=\"4\">",
                        "<string>2</string><fret>3</fret><pluck>M</pluck></technical></notations></note>\n</"
                        "measure>\n<measure number=\"4\">"}}));
  const std::string octave_up = "</staff-details><transpose><chromatic>12</chromatic></transpose>";
  all.push_back(music("tab-all-pitches-off", {{"</staff-details>", octave_up}}, "<!--a-->",
                      {{"</staff-details>",
                        "<capo>2</capo></staff-details><transpose><chromatic>2</chromatic></transpose>"}}));
  const std::string first_string = "<tuning-step>D</tuning-step><tuning-octave>4";
  all.push_back(music("tab-string-off", {{first_string, "<tuning-step>D</tuning-step><tuning-octave>5"}},
                      "<!--g-->", {{first_string, "<tuning-step>D</tuning-step><tuning-octave>4"}}));
  // The fifth string's seventh fret, counted from its own nut, is its second.
  const Change own{"<string>5</string><fret>7</fret>", "<string>5</string><fret>2</fret>"};
  const Change long_too{"<!--m--><pitch><step>G</step><octave>4</octave>",
                        "<!--m--><pitch><step>A</step><octave>4</octave>"};
  const Change long_fret{"<string>5</string><fret>0</fret>", "<string>5</string><fret>7</fret>"};
  all.push_back(music("tab-fifth-numbering-mixed", {own, long_too, long_fret}, "<!--l-->", {own}));
  all.push_back(music("tab-fifth-own-nut", {own}, "<!--l-->"));
  all.push_back(music("tab-fret-not-there",
                      {{"<string>5</string><fret>7</fret>", "<string>5</string><fret>4</fret>"}},
                      "<!--l-->"));
  all.push_back(music("tab-string-not-there",
                      {{"<string>2</string><fret>1</fret>", "<string>6</string><fret>1</fret>"}},
                      "<!--c-->"));
  all.push_back(music(
      "tab-fret-past-neck",
      {{"<!--c--><pitch><step>C</step><octave>4</octave>", "<!--c--><pitch><step>B</step><octave>5</octave>"},
       {"<string>2</string><fret>1</fret>", "<string>2</string><fret>24</fret>"}},
      "<!--c-->",
      {{"<!--c--><pitch><step>C</step><octave>4</octave>", "<!--c--><pitch><step>A</step><octave>5</octave>"},
       {"<string>2</string><fret>1</fret>", "<string>2</string><fret>22</fret>"}}));
  all.push_back(
      music("tab-two-on-one-string",
            {{"<!--o--><chord/><pitch><step>G</step><octave>3</octave>",
              "<!--o--><chord/><pitch><step>E</step><octave>4</octave>"},
             {"<string>3</string><fret>0</fret><pluck>T</pluck></technical></notations></note>\n<barline",
              "<string>1</string><fret>2</fret><pluck>T</pluck></technical></notations></note>\n<barline"}},
            "<!--o-->"));
  // A notation staff above the tab, with one measure of its own.
  const Change staves{"<clef><sign>TAB</sign><line>5</line></clef><staff-details>",
                      "<staves>2</staves><clef number=\"1\"><sign>TAB</sign><line>5</line></clef><clef "
                      "number=\"2\"><sign>G</sign><line>2</line></clef><staff-details number=\"1\">"};
  const auto second = [](const std::string& step) {
    return Change{"<barline location=\"right\">",
                  "<backup><duration>24</duration></backup>\n<note><pitch><step>A</step><octave>4</octave></"
                  "pitch><duration>6</duration><voice>2</voice><type>quarter</type><staff>2</staff></"
                  "note><note><pitch><step>G</step><octave>4</octave></pitch><duration>6</duration><voice>2</"
                  "voice><type>quarter</type><staff>2</staff></note><note><pitch><step>D</step><octave>4</"
                  "octave></pitch><duration>12</duration><voice>2</voice><type>half</type><staff>2</staff></"
                  "note><note><chord/><pitch><step>" +
                      step +
                      "</step><octave>3</octave></pitch><duration>12</duration><voice>2</voice><type>half</"
                      "type><staff>2</staff></note>\n<barline location=\"right\">"};
  };
  all.push_back(
      music("tab-staves-disagree", {staves, second("A")}, "<measure number=\"4\">", {staves, second("G")}));
  const std::size_t tuning = handout.find("<staff-tuning line=\"1\">");
  const Change untuned{handout.substr(tuning, handout.find("</staff-details>") - tuning), ""};
  all.push_back(music("tab-no-tuning", {untuned}, "<sign>TAB</sign>",
                      {{"<sign>TAB</sign>", "<sign>G</sign>"}, untuned}));
  // A fourth from the usual D3 is A2; beyond that no string of its gauge goes.
  const std::string d_string = "<tuning-step>D</tuning-step><tuning-octave>3";
  all.push_back(music("tab-tuning-strange", {{d_string, "<tuning-step>G</tuning-step><tuning-octave>2"}},
                      "<sign>TAB</sign>", {{d_string, "<tuning-step>A</tuning-step><tuning-octave>2"}}));
  all.push_back(
      music("tab-no-placement", {{"<string>2</string><fret>1</fret>", "<string>2</string>"}}, "<!--c-->"));
}

void add_reading(std::vector<Case>& all) {
  all.push_back(music("reading-refused",
                      {{"<!--c--><pitch><step>C</step><octave>4</octave></pitch><duration>6<",
                        "<!--c--><pitch><step>C</step><octave>4</octave></pitch><duration>"
                        "600000<"}},
                      "<!--c-->"));
  const std::string meter =
      "<attributes><time><beats>4</beats><beat-type>4</beat-type></time></attributes>\n";
  all.push_back(music("reading-repaired", {{"<note><!--c-->", meter + "<note><!--c-->"}}, meter.substr(0, 20),
                      {{"<note><!--e-->", meter + "<note><!--e-->"}}));
  all.back().line = line_of(all.back().bad, "<note><!--c-->") - 1;
  all.push_back(music("reading-left-out", {{"<fingering>1</fingering>", "<fingering>8</fingering>"}},
                      "<!--c-->", {{"<fingering>1</fingering>", "<fingering>3</fingering>"}}));
  const auto words = [](const std::string& text) {
    return Change{"<note><!--e-->", "<direction><direction-type><words>" + text +
                                        "</words></direction-type></direction>\n<note><!--e-->"};
  };
  all.push_back(music("reading-assumed", {words("D.C.")}, "D.C.", {words("slowly")}));
}

void add_technique(std::vector<Case>& all) {
  all.push_back(music("technique-hammer-on-down",
                      {{"<string>3</string><fret>0</fret><pluck>T</pluck><hammer-on",
                        "<string>3</string><fret>4</fret><pluck>T</pluck><hammer-on"}},
                      "<!--b-->"));
  all.push_back(
      music("technique-pull-off-up",
            {{"<string>2</string><fret>0</fret><pull-off", "<string>2</string><fret>3</fret><pull-off"}},
            "<!--d-->"));
  all.push_back(
      music("technique-across-strings",
            {{"<string>2</string><fret>0</fret><pull-off", "<string>3</string><fret>4</fret><pull-off"}},
            "<!--d-->"));
  all.push_back(music("technique-slide-nowhere",
                      {{"<string>4</string><fret>2</fret>", "<string>4</string><fret>4</fret>"}},
                      "<!--f-->"));
  const std::string bend = "<bend><bend-alter>2</bend-alter></bend></technical>";
  all.push_back(music(
      "technique-choke-open",
      {{"<string>2</string><fret>0</fret><pull-off type=\"stop\"/></technical>",
        "<string>2</string><fret>0</fret><pull-off type=\"stop\"/>" + bend}},
      "<!--d-->",
      {{"<string>2</string><fret>1</fret><pluck>I</pluck><pull-off type=\"start\">P</pull-off></technical>",
        "<string>2</string><fret>1</fret><pluck>I</pluck><pull-off type=\"start\">P</pull-off>" + bend}}));
  all.push_back(music("technique-pluck", {{"<pluck>I</pluck>", "<pluck>up</pluck>"}}, "<!--c-->",
                      {{"<pluck>I</pluck>", "<pluck>i</pluck>"}}));
}

// The last half note's pinch becomes another one.
Change pinch(const std::string& upper_pitch, const std::string& upper, const std::string& lower_pitch,
             const std::string& lower) {
  const std::size_t from = handout.find("<note><!--n-->");
  const std::size_t to = handout.find("<barline location=\"right\">");
  const auto note = [](const std::string& mark, const std::string& pitch, const std::string& technical) {
    return "<note>" + mark + "<pitch>" + pitch +
           "</pitch><duration>12</duration><voice>1</voice><type>half</type><notations><technical>" +
           technical + "</technical></notations></note>\n";
  };
  return {handout.substr(from, to - from),
          note("<!--n-->", upper_pitch, upper) + note("<!--o--><chord/>", lower_pitch, lower)};
}

std::string at(int string, int fret, const std::string& finger, const std::string& picking_finger) {
  return (finger.empty() ? "" : "<fingering>" + finger + "</fingering>") + "<string>" +
         std::to_string(string) + "</string><fret>" + std::to_string(fret) + "</fret><pluck>" +
         picking_finger + "</pluck>";
}

void add_hands(std::vector<Case>& all) {
  const std::string e4 = "<step>E</step><octave>4</octave>";
  const std::string a3 = "<step>A</step><octave>3</octave>";
  const Change easy = pinch(e4, at(1, 2, "", "M"), a3, at(3, 2, "", "T"));
  const auto hands = [&](const std::string& rule, const Change& bad, const Change& near) {
    all.push_back(music(rule, {bad}, "<measure number=\"4\">", {near}));
  };
  // Frets 1 and 10 are 230 mm apart on the usual scale: 667 (2^(-1/12) - 2^(-10/12)).
  hands("hands-cannot-hold",
        pinch("<step>C</step><octave>5</octave>", at(1, 10, "", "M"),
              "<step>G</step><alter>1</alter><octave>3</octave>", at(3, 1, "", "T")),
        easy);
  // Frets 1 and 5: 130 mm.
  hands("hands-stretch",
        pinch("<step>G</step><octave>4</octave>", at(1, 5, "4", "M"),
              "<step>G</step><alter>1</alter><octave>3</octave>", at(3, 1, "1", "T")),
        easy);
  hands("hands-finger-twice",
        pinch(e4, at(1, 2, "1", "M"), "<step>B</step><octave>3</octave>", at(3, 4, "1", "T")),
        pinch(e4, at(1, 2, "1", "M"), "<step>B</step><octave>3</octave>", at(3, 4, "3", "T")));
  hands("hands-pick-twice", pinch(e4, at(1, 2, "", "T"), a3, at(3, 2, "", "T")), easy);
  // Sixteenths at 80 are 188 ms, which one finger manages; at 400 they are 38 ms.
  const Change same_picking_finger{
      "<string>2</string><fret>0</fret><pluck>I</pluck></technical></notations></note>\n<note><!--k-->",
      "<string>2</string><fret>0</fret><pluck>T</pluck></technical></notations></note>\n<note><!--k-->"};
  Case fast = music("hands-picking-finger-too-fast",
                    {same_picking_finger,
                     {"<sound tempo=\"80\"/>", "<sound tempo=\"480\"/>"},
                     {"<per-minute>80<", "<per-minute>480<"}},
                    "<measure number=\"3\">", {same_picking_finger});
  all.push_back(fast);
  // From fret 4 of string 4 to fret 17 of string 1 in a quarter note; slowly, or over a half note, it goes.
  const Change leap{
      "<!--g--><pitch><step>D</step><octave>4</octave></pitch><duration>12</duration><tie type=\"start\"/>",
      "<!--g--><pitch><step>G</step><octave>5</octave></pitch><duration>12</duration>"};
  const Change drop_tied{"<tied type=\"start\"/><technical><string>1</string><fret>0</fret>",
                         "<technical><string>1</string><fret>17</fret>"};
  const Change drop_stop{"<tie type=\"stop\"/>", ""};
  const Change drop_drawn{"<tied type=\"stop\"/>", ""};
  Case leaps = music("hands-leap",
                     {leap,
                      drop_tied,
                      drop_stop,
                      drop_drawn,
                      {"<sound tempo=\"80\"/>", "<sound tempo=\"300\"/>"},
                      {"<per-minute>80<", "<per-minute>300<"}},
                     "<measure number=\"2\">", {leap, drop_tied, drop_stop, drop_drawn});
  all.push_back(leaps);
  const std::string low = bytes({0, 0x90, 30, 80, 96, 0x80, 30, 0, 0, 0x90, 100, 80, 96, 0x80, 100, 0});
  Case range{"hands-unplayable", midi(midi_head + low + midi_end), clean_midi};
  all.push_back(range);
}

void add_teaching(std::vector<Case>& all) {
  const auto whole = [&](const std::string& rule, const std::vector<Change>& bad,
                         const std::vector<Change>& near = {}) { all.push_back(music(rule, bad, "", near)); };
  whole("teaching-no-title", {{"<work><work-title>Lick</work-title></work>\n", ""}},
        {{"<work><work-title>Lick</work-title></work>\n", "<movement-title>Lick</movement-title>\n"}});
  whole(
      "teaching-no-tempo",
      {{handout.substr(handout.find("<direction>"), handout.find("<harmony>") - handout.find("<direction>")),
        ""}},
      {{"<sound tempo=\"80\"/>", ""}});
  whole("teaching-no-key", {{"<key><fifths>1</fifths></key>", ""}},
        {{"<fifths>1</fifths>", "<fifths>0</fifths>"}});
  whole("teaching-no-meter", {{"<time><beats>4</beats><beat-type>4</beat-type></time>", ""}},
        {{"<time>", "<time symbol=\"common\">"}});
  const std::size_t clef = handout.find("<clef>");
  whole("teaching-no-tuning", {{handout.substr(clef, handout.find("</attributes>") - clef),
                                "<clef><sign>G</sign><line>2</line></clef>"}});
  whole("teaching-no-chords",
        {{"<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>", ""}});
  std::string unfingered = handout;
  for (std::size_t from = unfingered.find("<pluck>"); from != std::string::npos;
       from = unfingered.find("<pluck>"))
    unfingered.erase(from, unfingered.find("</pluck>") + 8 - from);
  all.push_back({"teaching-no-picking-fingers", unfingered, handed({{"<pluck>T</pluck>", ""}})});
  whole("teaching-part-unnamed", {{"<part-name>Banjo</part-name>", "<part-name/>"}});
  const Change another{"</score-part>",
                       "</score-part><score-part id=\"P2\"><part-name>Fiddle</part-name></score-part>"};
  const Change other_part{"</part>\n",
                          "</part>\n<part id=\"P2\"><measure "
                          "number=\"1\"><attributes><divisions>1</divisions></attributes><note><rest "
                          "measure=\"yes\"/><duration>4</duration></note></measure></part>\n"};
  whole("teaching-several-parts", {another, other_part});
  whole("teaching-no-credit", {{"<creator type=\"composer\">Traditional</creator>", ""}});
  whole("teaching-no-rights", {{"<rights>Free to copy</rights>", ""}});
  all.push_back(music("teaching-broken-text", {{"Lick", "Caf\xC3\x83\xC2\xA9"}}, "<work>",
                      {{"Lick", "Caf\xC3\xA9 \xC3\x82ne"}}));
  const std::size_t n = handout.find("<note><!--n-->");
  const Change cut{handout.substr(n, handout.find("<barline location=\"right\">") - n), ""};
  const std::size_t a = handout.find("<note><!--a-->");
  const Change pickup{handout.substr(a, handout.find("<note><!--c-->") - a), ""};
  all.push_back(music("teaching-ends-inside-measure", {cut}, "<measure number=\"4\">",
                      {cut, pickup, {"<measure number=\"1\">", "<measure number=\"1\" implicit=\"yes\">"}}));
  whole("teaching-too-fast", {{"<pluck>I</pluck></technical></notations></note>\n<note><!--k-->",
                               "<pluck>T</pluck></technical></notations></note>\n<note><!--k-->"},
                              {"<sound tempo=\"80\"/>", "<sound tempo=\"200\"/>"},
                              {"<per-minute>80<", "<per-minute>200<"}});
  all.back().line = line_of(all.back().bad, "<measure number=\"3\">");
}

}  // namespace

const std::vector<Case>& cases() {
  static const std::vector<Case> all = [] {
    std::vector<Case> made;
    add_midi(made);
    add_container(made);
    add_grammar(made);
    add_time(made);
    add_pairs(made);
    add_tab(made);
    add_technique(made);
    add_reading(made);
    add_hands(made);
    add_teaching(made);
    std::map<std::string, std::size_t> met;
    for (Case& one : made) one.where = where_it_fires(one.rule, met[one.rule]++);
    return made;
  }();
  return all;
}

}  // namespace check_test
