"""The manual page and the completion say what --help says, no less and no more."""

import re
import subprocess

import pytest

from conftest import BUILD, run

MAN_PAGE = BUILD / "generated/fifthpeg.1"
COMPLETION = BUILD / "generated/fifthpeg.bash"
COMMANDS = ("convert", "arrange", "show", "describe", "advise", "check", "sheet", "practice", "find", "fit")


def help_of(command):
    return run(*([command] if command else []), "--help").out.decode()


def options_in(text, indent):
    """Every name of every option that a list explains, one option a line."""
    lines = re.findall(rf"^ {{{indent}}}(-.*)$", text, re.MULTILINE)
    return {name for line in lines for name in re.match(r"(-\w)?(?:, )?(--[a-z-]+)?", line).groups() if name}


@pytest.fixture(scope="module")
def page():
    done = subprocess.run(["groff", "-man", "-Tascii", "-ww", "-P-cbou", "-rLL=100n", MAN_PAGE], capture_output=True,
                          text=True, timeout=60, check=True)
    assert done.stderr == ""
    return done.stdout


def section(page, name):
    return re.search(rf"^{name}\n(.*?)(?=^\S)", page, re.MULTILINE | re.DOTALL).group(1)


def subsection(page, command):
    return re.search(rf"^   fifthpeg {command} .*\n((?:(?: {{7}}.*)?\n)*)", section(page, "COMMANDS"),
                     re.MULTILINE).group(1)


def words(text):
    return " ".join(text.split())


@pytest.mark.parametrize("command", COMMANDS)
def test_page_explains_the_options_of_a_command(page, command):
    explained = subsection(page, command)
    helped = help_of(command)
    assert options_in(explained, 7) == options_in(helped, 2) != set()
    # In the same words, and with the same words around them.
    for paragraph in re.findall(r"^ {27}(\S.*(?:\n {27}.*)*)|^  -.*?  +(\S.*(?:\n {27}.*)*)", helped, re.MULTILINE):
        assert words("".join(paragraph)) in words(explained)
    description, rest = helped.split("\n\n", 1)[1].split("\nOptions:", 1)
    assert words(description) in words(explained)
    examples, notes = rest.split("\nExamples\n")[1].split("\n\n", 1)
    for example in examples.splitlines():
        assert example.strip() in section(page, "EXAMPLES")
    assert words(notes) in words(explained)


def test_page_explains_the_program(page):
    helped = help_of("")
    assert options_in(section(page, "OPTIONS"), 7) == options_in(helped, 2)
    assert words(section(page, "NAME")) == "fifthpeg - " + helped.splitlines()[0].removeprefix("fifthpeg: ")
    for line in re.findall(r"^  (fifthpeg .*?)  ", helped, re.MULTILINE):
        assert f"{line} [OPTIONS]" in section(page, "SYNOPSIS")
    assert words(section(page, "EXIT STATUS")) == words(helped.split("Exit status\n")[1])
    assert "COLUMNS" in section(page, "ENVIRONMENT") and "SOURCE_DATE_EPOCH" in section(page, "ENVIRONMENT")
    assert ".part" in section(page, "FILES")
    assert run("--version").out.decode().strip() in page


def complete(*typed, cwd=None):
    """What bash offers for the last of the words, as it calls a completion."""
    script = 'source "$0"; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _fifthpeg; printf "%s\\n" "${COMPREPLY[@]}"'
    done = subprocess.run(["bash", "-c", script, COMPLETION, "fifthpeg", *typed], cwd=cwd, capture_output=True,
                          text=True, timeout=60, check=True)
    assert done.stderr == ""
    return done.stdout.split()


def test_bash_knows_the_completion():
    done = subprocess.run(["bash", "-c", 'source "$0" && complete -p fifthpeg', COMPLETION], capture_output=True,
                          text=True, timeout=60, check=True)
    assert done.stdout == "complete -F _fifthpeg fifthpeg\n" and done.stderr == ""


def test_commands_are_completed():
    assert set(complete("")) == {*COMMANDS, "help"} | options_in(help_of(""), 2)
    assert complete("c") == ["convert", "check"]
    assert complete("help", "des") == ["describe"]
    assert complete("help", "show", "") == complete("frobnicate", "--") == []


@pytest.mark.parametrize("command", COMMANDS)
def test_options_are_completed(command):
    assert set(complete(command, "-")) == options_in(help_of(command), 2)
    assert complete(command, "reel.mid", "--js") == (["--json"] if command not in ("show", "sheet", "practice") else [])


def test_files_are_completed(tmp_path):
    (tmp_path / "reel.mid").touch()
    (tmp_path / "red").mkdir()
    assert sorted(complete("convert", "re", cwd=tmp_path)) == ["red", "reel.mid"]
    assert sorted(complete("convert", "-o", "re", cwd=tmp_path)) == ["red", "reel.mid"]
    assert complete("convert", "reel.mid", "-d", "re", cwd=tmp_path) == ["red"]
    assert complete("check", "--fix", "ree", cwd=tmp_path) == ["reel.mid"]
    assert sorted(complete("fit", "reel.mid", "--licks", "re", cwd=tmp_path)) == ["red", "reel.mid"]
    assert complete("show", "--positions", "ree", cwd=tmp_path) == ["reel.mid"]
    assert sorted(complete("arrange", "--chords", "", cwd=tmp_path)) == ["infer", "red", "reel.mid"]
    # Numbers cannot be guessed, and are no files.
    assert complete("convert", "--capo", "", cwd=tmp_path) == complete("convert", "--jobs", "", cwd=tmp_path) == []


def test_words_after_an_equals_sign():
    assert complete("show", "--style", "=") == complete("show", "--style", "")
    assert complete("show", "--style", "=", "cl") == ["clawhammer"]


OUTPUTS = {"--staves": "musicxml", "--fifth-frets": "musicxml", "--picking-fingers": "musicxml", "--to": "x"}
VALUED = ("--tuning", "--transpose", "--refinger", "--neck", "--slurs", "--style", "--staves", "--fifth-frets", "--picking-fingers",
          "--to")


@pytest.mark.parametrize("option", VALUED)
def test_values_are_completed(fifthpeg, reel, option):
    """What is offered is taken, and is all that a refusal offers."""
    offered = complete("convert", option, "")
    assert offered
    output = OUTPUTS.get(option, "mid")
    for value in offered:
        assert fifthpeg("convert", reel, "-o", f"out.{output}", "--force", option, value).status == 0
    refused = fifthpeg("convert", reel, "-o", f"out.{output}", option, "nothing")
    assert refused.status == 2
    if option != "--transpose":
        listed = refused.err.split("choose ")[1].split(", or give")[0].split("; see")[0]
        assert offered == re.split(r",? or |, ", re.sub(r" \([\w#]+\)", "", listed))


def test_rules_are_completed(fifthpeg, reel):
    listed = fifthpeg("check", "--rules").out.decode()
    rules = set(re.findall(r"^(?:  )?([a-z][a-z0-9-]*)(?: \(|$)", listed, re.MULTILINE))
    assert set(complete("check", "--only", "")) == set(complete("check", "--skip", "")) == rules
    assert complete("check", "--only", "midi-bytes,teaching-no-ti") == ["midi-bytes,teaching-no-title"]
    assert complete("check", "--min-severity", "") == ["note", "warning", "error"]
    assert complete("find", "--technique", "slide,grace-") == ["slide,grace-note"]
    assert "kick-off" in complete("find", "--use", "")
    assert fifthpeg("check", reel, "--only", ",".join(rules)).status in (0, 1)


NOTE = """<note><pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch><duration>2</duration>{in_note}
    <notations>{in_notations}</notations></note>"""


def tab_of(tmp_path, what, mark):
    """What is shown of two notes, of which the first has the mark, and the second its end."""
    pitches = {2: ("A", 4), 4: ("B", 4)}  # by fret
    string = 3
    if what == "the thumb over the neck":  # which reaches no farther
        pitches, string = {2: ("E", 4), 4: ("F", 4)}, 4
    notes = []
    for fret, of_mark in zip((4, 2) if what == "a pull-off" else (2, 4), (mark, mark.replace("start", "stop"))):
        step, octave = pitches[fret]
        says = of_mark if fret == 2 or "start" in mark else ""
        place = "" if "<string>" in says else f"<technical><string>{string}</string><fret>{fret}</fret></technical>"
        in_note, says = (says, "") if "notehead" in says else ("", says)
        notes.append(NOTE.format(step=step, octave=octave, alter="<alter>1</alter>" if step == "F" else "",
                                 in_note=in_note, in_notations=place + says))
    source = tmp_path / "mark.musicxml"
    source.write_text(f"""<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Banjo</part-name></score-part>
        </part-list><part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>1</fifths></key>
        <time><beats>4</beats><beat-type>4</beat-type></time>
        <transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose></attributes>
        {"".join(notes)}</measure></part></score-partwise>""")
    result = run("show", source, "--fingers")
    assert result.status == 0
    return result.out.decode()


# In the tab of two notes, A and B, on string 3: what the mark of the manual makes of the first.
PRINTED = {"a string and a fret": r"^G\|-2--", "a finger of the fret hand": r"^   2 +\d *$",
           "the thumb over the neck": r"^   T +\d *$",
           "a picking finger": r"^   I +[TIM] *$", "the nail of the frailing finger": r"^   N +",
           "a note that rings on": r"^G\|-2~", "a note stopped dead": r"^G\|-2x",
           "a muffled note": r"^G\|-X", "a chime": r"^G\|-<2>", "a choke by a whole step": r"^G\|-2b4",
           "a hammer-on": r"^G\|-2-+h4", "a pull-off": r"^G\|-4-+p2", "a slide": r"^G\|-2-+/4"}


def test_marks_are_written_as_the_page_says(page, tmp_path):
    marks = re.findall(r"^ {7}(\w.*)\n {14}(<.*>)\n {14}In tab: (.*)\.$", section(page, "MARKS"), re.MULTILINE)
    assert {what for what, _, _ in marks} == set(PRINTED)
    for what, mark, _ in marks:
        assert re.search(PRINTED[what], tab_of(tmp_path, what, mark), re.MULTILINE), what
