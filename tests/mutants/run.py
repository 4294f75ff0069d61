"""Asks the tests of mutants: of each change of the sources that ought to make one of them fail, whether one does.

A sign turned, a number half as large again, a condition negated, a comparison at its edge, a least for a greatest, a body that answers
nought: all of them are sown into one build of a copy of the last commit (src), each asleep until its number is called, so that thousands
are tried without building as many times. Each test runs once to see which mutants it comes by. Then each mutant is asked about: the tests
that come by it, quick ones first, until one fails, ends by itself no more ("timeout", which counts as found) or so many seconds are spent.

What is left alive is held against survivors.tsv, which says of each why no test finds it, and of how many of one name; those that are
not in it are printed, and so are those of the list that are alive no longer. Everything is kept in the work folder, and a run that was
interrupted goes on where it was; one with more seconds asks again of what was alive.

    python run.py WORK [--seconds 30] [--only PART_OF_A_NAME] [--skip-tests PART,PART]
"""

import argparse
import collections
import csv
import json
import os
import re
import resource
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
# No test takes as much memory; a mutant may.
MEMORY = 8 << 30
# The machine's physics and the turn, and what verdicts are made of.
SOWN = ["models/src/**/*.rs", "sim/core/src/turn.rs", "sim/core/src/turn/*.rs", "sim/core/src/roots.rs", "sim/core/src/limits.rs",
        "sim/core/src/limits/*.rs", "sim/core/src/studies/judge.rs", "sim/core/src/studies/real_pace.rs"]
# Words, tables and unit conversions, which the tests of the program read; what a machine is stated as; the demo.
NOT_SOWN = {"models/src/lib.rs", "models/src/fault.rs", "models/src/field.rs", "models/src/units.rs", "models/src/machine/demo.rs",
            "models/src/alloy/elements.rs"}
ALIVE = ("alive", "not reached")
TESTED = {"latchstroke_models", "latchstroke_core", "latchstroke_scenario", "outside"}


def sown_files():
    found = sorted({path.relative_to(ROOT).as_posix() for pattern in SOWN for path in ROOT.glob(pattern)})
    return [name for name in found if name not in NOT_SOWN and not name.endswith("/tests.rs")]


def read(path):
    return [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []


class Work:
    def __init__(self, folder):
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        self.tree = folder / "tree"
        self.skip = folder / "skip"
        self.sown = folder / "mutants.tsv"
        self.tests = folder / "tests.json"

    def cargo(self, where, *arguments):
        environment = {**os.environ, "CARGO_TARGET_DIR": str(self.folder / "target"), "CARGO_INCREMENTAL": "0"}
        # What is sown is not well written.
        environment["RUSTFLAGS"] = "--cap-lints allow"
        return subprocess.run(["cargo", *arguments, "--message-format=json"], cwd=where, env=environment, stdout=subprocess.PIPE, text=True)

    def head(self):
        """The last commit; the work in the folder is of one alone."""
        last = subprocess.run(["git", "rev-parse", "HEAD"], cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True).stdout.strip()
        known = self.folder / "commit"
        if known.exists() and known.read_text() != last:
            sys.exit(f"{self.folder} has the mutants of commit {known.read_text()}; take another folder for those of {last}")
        known.write_text(last)
        return last

    def sow(self):
        subprocess.run(["rm", "-rf", self.tree], check=True)
        self.tree.mkdir()
        archive = subprocess.run(["git", "archive", self.head()], cwd=ROOT, stdout=subprocess.PIPE, check=True)
        subprocess.run(["tar", "x", "-C", self.tree], input=archive.stdout, check=True)
        manifest = self.tree / "Cargo.toml"
        # A lint that is forbidden is not capped.
        manifest.write_text(manifest.read_text().replace('unsafe_code = "forbid"', ""))
        tool = self.folder / "target/debug/latchstroke-mutants"
        if self.cargo(HERE, "build").returncode != 0:
            sys.exit("the tool that sows does not build")
        sown = subprocess.run([tool, self.tree, self.skip, *sown_files()], stdout=subprocess.PIPE, text=True, check=True)
        self.sown.write_text(sown.stdout)

    def build(self):
        """Sows and builds; what does not compile is skipped, and all begun anew."""
        for _ in range(20):
            self.sow()
            said = self.cargo(self.tree, "test", "--workspace", "--lib", "--tests", "--no-run")
            messages = [json.loads(line) for line in said.stdout.splitlines() if line.startswith("{")]
            if said.returncode == 0:
                tests = {
                    message["target"]["name"]: [message["executable"], str(Path(message["manifest_path"]).parent)]
                    for message in messages
                    if message["reason"] == "compiler-artifact" and message["executable"] and message["profile"]["test"]
                }
                self.tests.write_text(json.dumps({name: test for name, test in tests.items() if name in TESTED}))
                return
            wrong = {number for message in messages if message["reason"] == "compiler-message" for number in self.named(message["message"])}
            if not wrong:
                sys.exit("the sown copy does not build, and no mutant is named in what the compiler says")
            with self.skip.open("a") as skip:
                for mutant in self.mutants():
                    if mutant.number in wrong:
                        skip.write(f"{mutant.place} {mutant.kind}\n")
        sys.exit("the sown copy does not build")

    def named(self, message):
        """The mutant that an error is about: the last one that is named at its place or in the few lines before it."""
        if message["level"] != "error":
            return
        for span in message["spans"]:
            if span["is_primary"]:
                lines = (self.tree / span["file_name"]).read_text().splitlines()[max(span["line_start"] - 6, 0) : span["line_end"]]
                lines[-1] = lines[-1][: span["column_end"] - 1]
                yield from (int(number) for number in re.findall(r"(?:awake|scaled)\(\s*(\d+)", "\n".join(lines))[-1:])

    def mutants(self):
        for line in self.sown.read_text().splitlines():
            number, place, kind, text = line.split("\t")
            yield Mutant(int(number), place, kind, text)


class Mutant(collections.namedtuple("Mutant", "number place kind text")):
    @property
    def file(self):
        return self.place.split(":")[0]

    @property
    def name(self):
        return self.file, self.kind, self.text


RUNNING = set()


def run(test, names, environment, seconds):
    """Exit code and names of the tests that failed; none where it did not end in time."""
    program, where = test
    process = subprocess.Popen([program, "--exact", *names, "--test-threads", "1"], cwd=where,
                               env={**os.environ, "RAYON_NUM_THREADS": "1", **environment},
                               stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, start_new_session=True)
    RUNNING.add(process)
    try:
        said, _ = process.communicate(timeout=seconds)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
        return None, []
    finally:
        RUNNING.discard(process)
    failed = [line.split()[1] for line in said.splitlines() if line.startswith("test ") and line.endswith("FAILED")]
    return process.returncode, failed


def on_every_processor(todo, what):
    lock, todo, broken = threading.Lock(), iter(todo), []

    def work():
        while not broken:
            with lock:
                one = next(todo, None)
            if one is None:
                return
            try:
                what(one, lock)
            except Exception as error:
                broken.append(error)

    threads = [threading.Thread(target=work, daemon=True) for _ in range(os.cpu_count())]
    for thread in threads:
        thread.start()
    try:
        for thread in threads:
            thread.join()
    finally:
        for process in list(RUNNING):
            os.killpg(process.pid, signal.SIGKILL)
    if broken:
        raise broken[0]


def reach(work, tests, skipped):
    """Runs each test once: how long it takes, and by which mutants it comes."""
    path = work.folder / "reach.jsonl"
    known = {(seen["binary"], seen["test"]) for seen in read(path)}
    todo = []
    for binary, (program, where) in tests.items():
        listed = subprocess.run([program, "--list"], cwd=where, stdout=subprocess.PIPE, text=True, check=True).stdout
        names = [line.removesuffix(": test") for line in listed.splitlines() if line.endswith(": test")]
        todo += [(binary, name) for name in names if (binary, name) not in known and not any(part in name for part in skipped)]

    def once(one, lock):
        binary, name = one
        seen = work.folder / f"reach-{threading.get_ident()}"
        seen.unlink(missing_ok=True)
        begun = time.monotonic()
        code, _ = run(tests[binary], [name], {"LATCHSTROKE_REACH": str(seen)}, 120)
        took = round(time.monotonic() - begun, 2)
        # The program that a test runs several times writes them down as often.
        numbers = sorted(set(map(int, seen.read_text().split()))) if seen.exists() else []
        with lock, path.open("a") as file:
            file.write(json.dumps({"binary": binary, "test": name, "code": code, "seconds": took, "numbers": numbers}) + "\n")

    on_every_processor(todo, once)
    seen = read(path)
    print(f"{sum(one['code'] != 0 for one in seen)} tests fail or take two minutes without any mutant, and are not asked")
    return [one for one in seen if one["code"] == 0]


def ask(work, tests, reached, seconds, only):
    path = work.folder / "asked.jsonl"
    asked = {answer["number"] for answer in read(path) if answer["answer"] not in ALIVE or answer.get("seconds", 0) >= seconds}
    todo = [m for m in work.mutants() if m.number not in asked and (only or "") in m.place]
    takes, coming_by = {}, collections.defaultdict(list)
    for seen in reached:
        test = seen["binary"], seen["test"]
        takes[test] = max(seen["seconds"], 0.02)
        for number in seen["numbers"]:
            coming_by[number].append(test)
    has_found = collections.Counter()

    def one(mutant, lock):
        part = Path(mutant.file).stem
        # Those that found something in this file before, then the quickest, those of its own part as if they took a quarter.
        def rank(test):
            return -min(has_found[mutant.file, test], 5) / takes[test], takes[test] * (0.25 if part in test[1] else 1.0)

        with lock:
            order = sorted(coming_by[mutant.number], key=rank)
        spent, answer, by, batch_seconds = 0.0, "alive" if order else "not reached", [], 2.0
        while order and spent < seconds:
            binary, batch = order[0][0], []
            while order and order[0][0] == binary and (not batch or sum(takes[t] for t in batch) + takes[order[0]] < batch_seconds):
                batch.append(order.pop(0))
            expected = sum(takes[test] for test in batch)
            spent, batch_seconds = spent + expected, min(2 * batch_seconds, 12.0)
            # A test that breaks off without a word (memory, a signal) has not failed.
            code, by = run(tests[binary], [test[1] for test in batch], {"LATCHSTROKE_MUTANT": str(mutant.number)}, 6 * expected + 5)
            if code != 0:
                answer = "timeout" if code is None else "found" if by else "broken"
                with lock:
                    has_found.update((mutant.file, test) for test in batch if test[1] in by)
                break
        with lock, path.open("a") as file:
            file.write(json.dumps({"number": mutant.number, "answer": answer, "by": by[:3], "seconds": seconds, "not asked": len(order)}) + "\n")

    on_every_processor(todo, one)
    return {answer["number"]: answer["answer"] for answer in read(path)}


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("work", type=Path)
    parser.add_argument("--seconds", type=float, default=30)
    parser.add_argument("--only", help="part of the place of the mutants to ask about")
    parser.add_argument("--skip-tests", default="program::talk,program::film,program::live,program::handout")
    arguments = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    work = Work(arguments.work.resolve())
    work.head()
    if not work.tests.exists():
        work.build()
    if work.skip.exists():
        print(f"{len(work.skip.read_text().splitlines())} mutants do not compile and were left out")
    tests = json.loads(work.tests.read_text())
    answers = ask(work, tests, reach(work, tests, arguments.skip_tests.split(",")), arguments.seconds, arguments.only)

    with (HERE / "survivors.tsv").open() as file:
        explained = {(row["file"], row["kind"], row["text"]): int(row["mutants"]) for row in csv.DictReader(file, delimiter="\t")}
    print(dict(collections.Counter(answers.values())))
    # Not every mutant has a name of its own: of one name so many are known to be alive.
    alive, unknown = collections.defaultdict(list), set()
    for mutant in work.mutants():
        if mutant.number not in answers:
            unknown.add(mutant.name)
        elif answers[mutant.number] in ALIVE:
            alive[mutant.name].append(mutant)
    for name, mutants in alive.items():
        if len(mutants) > explained.get(name, 0):
            places = ", ".join(mutant.place for mutant in mutants)
            print(f"{len(mutants)} alive, {explained.get(name, 0)} in the list: {places}\t{name[1]}\t{name[2]}")
    for name, mutants in explained.items():
        if name not in unknown and len(alive[name]) < mutants:
            print(f"{len(alive[name])} alive, {mutants} in the list:", *name)


if __name__ == "__main__":
    main()
