"""The program's weight files: ONNX with its large tensors cut out and kept small.

Large convolutions keep a byte a number and a scale an output channel (the scale with the least squared error), everything else half-precision
floats; the program expands them when it starts. Layout, little endian:
  8 bytes "ALPACK02", u32 size of the expanded file, u32 number of tensors,
  per tensor u32 place in the expanded file, u32 bytes there, u32 output channels (0: halves), then the file without those bytes,
  then per tensor the halves, or the channels' scales as f32 and one signed byte a number.
"""
import struct
import numpy as np

MAGIC = b"ALPACK02"
LARGE = 100000  # numbers; what is smaller works nearest to the maps and would save little


def to_bytes(w):
    """w [channels, n] -> scales f32 [channels], int8 [channels, n]."""
    most = np.maximum(np.abs(w).max(1), 1e-12)
    best, scale = np.full(len(w), np.inf), most / 127
    for clip in np.linspace(0.7, 1.0, 31):
        s = most * clip / 127
        e = ((np.clip(np.round(w / s[:, None]), -127, 127) * s[:, None] - w) ** 2).sum(1)
        better = e < best
        best[better], scale[better] = e[better], s[better]
    scale = scale.astype(np.float32)
    return scale, np.clip(np.round(w / scale[:, None]), -127, 127).astype(np.int8)


def pack(data):
    import onnx
    model = onnx.load_model_from_string(data)
    parts = []
    for t in model.graph.initializer:
        raw = t.raw_data
        if t.data_type != onnx.TensorProto.FLOAT or len(raw) < 256:
            continue
        at = data.find(raw)
        assert at >= 0 and data.find(raw, at + 1) < 0, "tensor not found once: " + t.name
        w = np.frombuffer(raw, "<f4")
        if len(t.dims) == 4 and t.dims[2] > 1 and len(w) >= LARGE:
            scale, small = to_bytes(w.reshape(t.dims[0], -1))
            parts.append((at, len(raw), t.dims[0], scale.astype("<f4").tobytes() + small.tobytes()))
        else:
            parts.append((at, len(raw), 0, w.astype("<f2").tobytes()))
    parts.sort()
    out, rest, last = MAGIC + struct.pack("<II", len(data), len(parts)), b"", 0
    for at, n, rows, _ in parts:
        out += struct.pack("<III", at, n, rows)
        rest += data[last:at]
        last = at + n
    return out + rest + data[last:] + b"".join(p[3] for p in parts)


def expand(path):
    """ONNX bytes of a packed file."""
    data = open(path, "rb").read()
    assert data[:8] == MAGIC, path + ": not a weight file of this version"
    size, count = struct.unpack("<II", data[8:16])
    table = np.frombuffer(data, "<u4", 3 * count, 16).reshape(-1, 3)
    body = 16 + 12 * count
    rest = data[body:body + size - int(table[:, 1].sum())]
    small, out, r, h = data[body + len(rest):], bytearray(), 0, 0
    for at, n, rows in table.tolist():
        k = at - len(out)
        out += rest[r:r + k]
        r += k
        if rows:
            scale = np.frombuffer(small, "<f4", rows, h)
            w = np.frombuffer(small, "i1", n // 4, h + 4 * rows).reshape(rows, -1) * scale[:, None]
            h += 4 * rows + n // 4
        else:
            w = np.frombuffer(small, "<f2", n // 4, h)
            h += n // 2
        out += w.astype("<f4").tobytes()
    return bytes(out + rest[r:])
