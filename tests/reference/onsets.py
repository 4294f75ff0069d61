"""The recordings of heard_clicks.rs heard by a general-purpose onset detector (librosa 0.11), to compare with.

    mkdir /tmp/recordings
    LATCHSTROKE_RECORDINGS=/tmp/recordings cargo test -p latchstroke --test outside clicks_are_found
    python tests/reference/onsets.py /tmp/recordings        # needs librosa, numpy

Prints for each level above the noise, with the library's own settings (hop 512, 11.6 ms at 44.1 kHz) and with a hop of 64 and
backtracking: clicks missed and false within 5 ms and within 50 ms, and the middle of the errors of those found within 50 ms."""

import pathlib
import sys

import librosa
import numpy as np

RATE = 44100
SETTINGS = {"its own": {"hop_length": 512}, "hop 64, backtracked": {"hop_length": 64, "backtrack": True}}


def matched(found, truth, within):
    off = np.array([found[np.argmin(abs(found - t))] - t if len(found) else np.inf for t in truth])
    false = sum(np.min(abs(truth - f)) > within for f in found)
    return np.sum(abs(off) > within), false, off[abs(off) <= within]


def main(folder):
    files = sorted(pathlib.Path(folder).glob("*.f32"), key=lambda path: (-float(path.name.split("dB")[0]), path.name))
    for level in dict.fromkeys(path.name.split("-")[0] for path in files):
        for name, settings in SETTINGS.items():
            rows = []
            for path in (path for path in files if path.name.startswith(level + "-")):
                sound, truth = np.fromfile(path, "<f4"), np.loadtxt(path.with_suffix(".txt"))
                found = librosa.onset.onset_detect(y=sound, sr=RATE, units="time", **settings)
                rows.append((len(truth), *matched(found, truth, 0.005)[:2], *matched(found, truth, 0.05)))
            of, missed, false, missed50, false50 = (sum(row[k] for row in rows) for k in range(5))
            off = np.concatenate([row[5] for row in rows])
            middle = np.median(off) * 1e3 if len(off) else np.nan
            print(f"{level:>5} {name:<20} of {of}: 5 ms: {missed} missed, {false} false; "
                  f"50 ms: {missed50} missed, {false50} false, {middle:+.1f} ms")


main(sys.argv[1])
