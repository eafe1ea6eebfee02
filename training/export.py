"""Trained weights -> the two files the program carries: ONNX with every large tensor kept as half-precision floats.

  python3 export.py FOLDER_WITH_PT OUT_FOLDER      writes body.net and head.net

OpenCV 4.6 reads no half-precision tensors, so the program expands them when it starts. Layout, little endian:
  8 bytes "ALHALF01", u32 size of the expanded file, u32 number of tensors,
  per tensor u32 place in the expanded file and u32 bytes there, then the file without those bytes, then the halves.
"""
import os, struct, sys
import numpy as np, torch
import nets


def onnx_bytes(net, side, path):
    kw = dict(opset_version=11, input_names=["picture"], output_names=["maps", "aux"])
    try:
        torch.onnx.export(net, torch.rand(1, 3, side, side), path, dynamo=False, **kw)
    except TypeError:
        torch.onnx.export(net, torch.rand(1, 3, side, side), path, **kw)
    return open(path, "rb").read()


def pack(data):
    import onnx
    model = onnx.load_model_from_string(data)
    regions, halves = [], []
    for t in model.graph.initializer:
        raw = t.raw_data
        if t.data_type == onnx.TensorProto.FLOAT and len(raw) >= 256:
            at = data.find(raw)
            assert at >= 0 and data.find(raw, at + 1) < 0, "tensor not found once: " + t.name
            regions.append((at, len(raw)))
            halves.append(np.frombuffer(raw, "<f4").astype("<f2").tobytes())
    order = sorted(range(len(regions)), key=lambda i: regions[i][0])
    out = b"ALHALF01" + struct.pack("<II", len(data), len(order))
    rest, last = b"", 0
    for i in order:
        at, n = regions[i]
        out += struct.pack("<II", at, n)
        rest += data[last:at]
        last = at + n
    return out + rest + data[last:] + b"".join(halves[i] for i in order)


def main(folder, out):
    os.makedirs(out, exist_ok=True)
    total = 0
    for kind in ("body", "head"):
        net = nets.make(kind)
        net.load_state_dict({k: v.float() if v.is_floating_point() else v for k, v in torch.load(os.path.join(folder, kind + ".pt"), map_location="cpu").items()})
        net.eval()
        folded = nets.fold(net)
        x = torch.rand(2, 3, nets.SIDES[kind], nets.SIDES[kind])
        with torch.no_grad():
            print(kind, "folding changes the maps by at most %.1e" % (folded(x)[0] - net(x)[0]).abs().max().item())
        path = os.path.join(out, kind + ".onnx")
        packed = pack(onnx_bytes(folded, nets.SIDES[kind], path))
        os.remove(path)
        open(os.path.join(out, kind + ".net"), "wb").write(packed)
        total += len(packed)
    print("%d bytes in all" % total)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
