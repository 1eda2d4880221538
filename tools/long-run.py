"""Puts what the long-running tests gave into their list: long-run.py LIST RESULT.xml…

A line for each class, with day, commit, passed, failed and seconds. A class that ran anew takes its old line's place; the others stay, so the
list may be filled in parts. Whoever reads it sees by day and commit what each line is worth."""
import datetime
import pathlib
import subprocess
import sys
import xml.etree.ElementTree as tree

HEAD = """Long-running tests (./test --long, or in parts ./test --long NAME): what each class of them gave when it last ran.
day        commit   passed failed seconds class
"""


def main(list_file, results):
    path = pathlib.Path(list_file)
    lines = {}
    if path.exists():
        for line in path.read_text().splitlines()[2:]:
            lines[line.split()[-1]] = line
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True).stdout.strip() or "unknown"
    day = datetime.datetime.now(datetime.timezone.utc).date().isoformat()
    ran = {}
    for result in results:
        for test in tree.parse(result).getroot().iter("test"):
            traits = [(t.get("name"), t.get("value")) for t in test.iter("trait")]
            if ("Category", "Long") in traits and test.get("result") in ("Pass", "Fail"):
                passed, failed, seconds = ran.get(test.get("type"), (0, 0, 0.0))
                ok = test.get("result") == "Pass"
                ran[test.get("type")] = (passed + ok, failed + (not ok), seconds + float(test.get("time")))
    for name, (passed, failed, seconds) in ran.items():
        lines[name] = f"{day} {commit:8} {passed:6} {failed:6} {seconds:7.0f} {name}"
    path.write_text(HEAD + "".join(lines[name] + "\n" for name in sorted(lines)))


if len(sys.argv) < 3 or sys.argv[1].startswith("-"):
    sys.exit(__doc__)
main(sys.argv[1], sys.argv[2:])
