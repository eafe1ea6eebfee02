"""The figure drawer on the CPU: previews and tests of the drawer itself (no GPU needed)."""
import ctypes, os, subprocess, tempfile
import numpy as np

HERE = os.path.dirname(os.path.abspath(__file__))
BODY, HEAD, FIGURES = 19, 22, 6


def build(folder=None):
    folder = folder or os.path.join(tempfile.gettempdir(), "armslength-drawer")
    os.makedirs(folder, exist_ok=True)
    out = os.path.join(folder, "libdrawer_cpu.so")
    subprocess.check_call(["g++", "-O2", "-std=c++17", "-x", "c++", "-shared", "-fPIC", "-o", out,
                           os.path.join(HERE, "drawer", "drawer.cu")])
    lib = ctypes.CDLL(out)
    lib.drawer_slot_bytes.restype = ctypes.c_size_t
    return lib


def split_labels(flat):
    """flat [n, floats] -> dict of named parts."""
    o, d = 0, {}
    for name, shape in (("body", (BODY, 3)), ("head", (HEAD, 3)), ("box", (FIGURES, 5)), ("facing", (2,)),
                        ("ambiguous", ()), ("technique", ()), ("heads", ()), ("main", ())):
        n = int(np.prod(shape)) if shape else 1
        d[name] = flat[:, o:o + n].reshape((flat.shape[0],) + shape)
        o += n
    assert o == flat.shape[1], (o, flat.shape)
    return d


class Drawer:
    def __init__(self):
        self.lib = build()

    def draw(self, seed, n, kind=0, side=256, windows=None):
        lib = self.lib
        scratch = np.zeros(lib.drawer_slot_bytes() * n, np.uint8)
        labels = np.zeros((n, lib.drawer_label_floats()), np.float32)
        image = np.zeros((n, 3, side, side), np.float32)
        p = lambda a: a.ctypes.data_as(ctypes.c_void_p)
        lib.drawer_make(ctypes.c_uint32(seed), n, kind, p(scratch), p(labels), None)
        if callable(windows):
            windows = windows(split_labels(labels))
        w = None if windows is None else p(np.ascontiguousarray(windows, np.float32))
        lib.drawer_paint(p(scratch), None, w, n, side, p(image), None)
        self.counts = []
        for i in range(n):
            a, b = ctypes.c_int(), ctypes.c_int()
            lib.drawer_counts(p(scratch), i, ctypes.byref(a), ctypes.byref(b))
            self.counts.append((a.value, b.value))
        return image, split_labels(labels)
