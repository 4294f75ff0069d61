"""Makes the compressed recordings that the tests of `listen` read. They are synthesised, and no recording of anything.

Knocks at 0, 0.7 and 1.1 s of every turn of 2 s, eight turns, over faint noise; wants NumPy and ffmpeg. Its encoders differ from release
to release, so that the bytes need not come out the same again.

    python make.py
"""

import subprocess
import wave
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
RATE, SECONDS, TURN, KNOCKS = 22_050, 17.0, 2.0, ((0.0, 0.6), (0.7, 0.4), (1.1, 0.3))


def samples():
    """The sound, -1 to 1."""
    random = np.random.default_rng(7)
    sound = 0.002 * random.standard_normal(int(RATE * SECONDS))
    ring = np.arange(int(0.03 * RATE)) / RATE
    knock = np.exp(-ring / 0.006) * sum(np.sin(2.0 * np.pi * f * ring) for f in (1800.0, 2900.0, 4700.0)) / 3.0
    for turn in range(8):
        for after, loud in KNOCKS:
            begin = round((0.3 + TURN * turn + after) * RATE)
            sound[begin:begin + len(knock)] += loud * knock
    return np.clip(sound, -1.0, 1.0)


def main():
    """Write the recordings beside this file."""
    plain = HERE / "knocks.wav"
    with wave.open(str(plain), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes((32767.0 * samples()).astype("<i2").tobytes())
    for name, options in {"mp3": ["-c:a", "libmp3lame", "-b:a", "40k"], "ogg": ["-c:a", "libvorbis", "-q:a", "1"],
                          "m4a": ["-c:a", "aac", "-b:a", "40k"], "flac": ["-ar", "11025", "-c:a", "flac"]}.items():
        out = plain.with_suffix(f".{name}")
        subprocess.run(["ffmpeg", "-loglevel", "error", "-y", "-i", plain, *options, out], check=True)
    plain.unlink()


if __name__ == "__main__":
    main()
