"""Repeat and lean of the example pictures by a Fourier transform, for outside.rs.

Needs numpy, scipy and pillow:  python3 fft.py > fft.csv   (in this folder)
Nothing of the library is used. The lean is the turn that makes the profile's slopes steepest; the repeat is the fundamental that fits the harmonics
of the windowed, zero-padded spectrum of the profile's slopes.
"""

import os

import numpy as np
from PIL import Image
from scipy import ndimage, optimize

HOME = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../data/swatch")


def profile(grey, degrees):
    """The mean along the stripe, with the picture turned by -degrees about its middle."""
    turned = ndimage.rotate(grey, -degrees, reshape=False, order=3, mode="nearest")
    cut = int(0.08 * min(grey.shape))
    return turned[cut:-cut, cut:-cut].mean(axis=0)


def sharpness(degrees, grey):
    slopes = np.diff(ndimage.gaussian_filter1d(profile(grey, degrees), 1.5))
    return -np.sum(slopes**2)


def repeat_of(line):
    slopes = np.diff(line) * np.hanning(len(line) - 1)
    padded = 1 << 18
    power = np.abs(np.fft.rfft(slopes, padded)) ** 2
    # All harmonics up to one of 12 pixels: the shortest repeat that holds nearly all of what any holds.
    tried = np.arange(60.0, 400.0, 0.02)
    held = np.array([power[np.round(np.arange(1, int(t / 12)) * padded / t).astype(int)].sum() for t in tried])
    first = np.argmax(held > 0.9 * held.max())
    near = slice(first, first + int(0.05 * tried[first] / 0.02))
    return tried[near][np.argmax(held[near])]


print("file,width,repeat,lean")
for name in ["scan.jpg", "photo.jpg"]:
    picture = Image.open(os.path.join(HOME, name)).convert("RGB")
    grey = np.asarray(picture, dtype=float).mean(axis=2)
    coarse = min(np.arange(-10, 10.01, 0.5), key=lambda a: sharpness(a, grey))
    lean = optimize.minimize_scalar(
        sharpness, args=(grey,), bounds=(coarse - 0.5, coarse + 0.5), method="bounded", options={"xatol": 1e-3}
    ).x
    print(f"{name},{picture.width},{repeat_of(profile(grey, lean)):.3f},{lean:.3f}")
