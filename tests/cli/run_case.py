#!/usr/bin/env python3
"""Runs one case of the program tests:  run_case.py CASE_FOLDER PROGRAM SOURCE_FOLDER WORK_FOLDER

A case is a folder with up to three files:

  recipe    shell, run in an empty folder: lays out the inputs; `lot NAME` copies a demo lot
            (`none PATTERN FILE`, here and below, is a grep that must find nothing: a bare ! stops no shell)
  command   shell, run there too, the program is `trenchwright`; without the file: plan job.toml --out out
  expected  one statement a line:
              exit N         the exit code
              stderr TEXT    one line of standard error, exactly; all lines in order, none: it stays empty
              stderr~ REGEX  the same where a library's own words are part of the line
              stdout REGEX   found in standard output; none: it stays empty
              writes PATH    a file the command makes or changes; every other file keeps bytes and time
"""

import hashlib
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

SHELL = "set -eu\nlot() { cp -r \"$LOTS/$1/.\" .; chmod -R u+w .; }\nnone() { if grep \"$@\"; then return 1; fi; }\n"


def statements(file):
    found = {"exit": [], "stderr": [], "stdout": [], "writes": []}
    for line in file.read_text(encoding="utf-8").splitlines():
        word, _, rest = line.partition(" ")
        if word == "stderr~":
            found["stderr"].append(rest)
        elif line and not line.startswith("#"):
            found[word].append(re.escape(rest) if word == "stderr" else rest)
    return found


def snapshot(folder):
    """Every path with what must not change: bytes and time of a file, the mere presence of a folder."""
    seen = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if path.is_file():
            seen[name] = (hashlib.sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns)
        else:
            seen[name + "/"] = None
    return seen


def shell(script, folder, env):
    return subprocess.run(["sh", "-c", SHELL + script], cwd=folder, env=env, capture_output=True, timeout=300)


def all_match(regexes, raw):
    lines = raw.decode("utf-8").splitlines()
    return len(lines) == len(regexes) and all(re.fullmatch(*pair) for pair in zip(regexes, lines))


def faults_of(expected, ran, before, after):
    """What the run did otherwise than expected, one text each."""
    faults = []
    if str(ran.returncode) != expected["exit"][0]:
        faults.append(f"exit {ran.returncode}, expected {expected['exit'][0]}")
    if not all_match(expected["stderr"], ran.stderr):
        faults.append("stderr is not\n  " + "\n  ".join(expected["stderr"] or ["(nothing)"]))
    out = ran.stdout.decode("utf-8")
    faults += [f"stdout has no /{regex}/" for regex in expected["stdout"] if not re.search(regex, out, re.MULTILINE)]
    if out and not expected["stdout"]:
        faults.append("stdout is not empty")
    written = sorted(name for name, state in after.items() if not name.endswith("/") and before.get(name) != state)
    if written != sorted(expected["writes"]):
        faults.append(f"wrote {written}, expected {sorted(expected['writes'])}")
    folders = {str(parent) + "/" for name in written for parent in Path(name).parents}
    faults += [f"left {name} behind" for name in after if name.endswith("/") and name not in before.keys() | folders]
    faults += [f"took {name} away" for name in before if name not in after]
    return faults


def main():
    case, program, source, work = (Path(argument).resolve() for argument in sys.argv[1:])
    shutil.rmtree(work, ignore_errors=True)
    (work / "bin").mkdir(parents=True)
    (work / "lot").mkdir()
    (work / "bin" / "trenchwright").symlink_to(program)
    env = dict(os.environ, LOTS=str(source / "testdata"), TOOLS=str(source / "tests" / "cli"), LC_ALL="C.UTF-8",
               PATH=f"{work / 'bin'}:{os.environ['PATH']}")
    if (case / "recipe").exists():
        made = shell((case / "recipe").read_text(encoding="utf-8"), work / "lot", env)
        if made.returncode != 0:
            sys.exit(f"the recipe failed:\n{made.stdout.decode()}{made.stderr.decode()}")
    before = snapshot(work / "lot")
    command = case / "command"
    text = command.read_text(encoding="utf-8") if command.exists() else "trenchwright plan job.toml --out out"
    ran = shell(text, work / "lot", env)
    faults = faults_of(statements(case / "expected"), ran, before, snapshot(work / "lot"))
    if faults:
        sys.exit("\n".join(faults) + f"\n--- exit {ran.returncode}\n--- stdout\n{ran.stdout.decode()}"
                 f"--- stderr\n{ran.stderr.decode()}")
    shutil.rmtree(work)


if __name__ == "__main__":
    main()
