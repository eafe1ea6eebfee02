"""Trained weights -> the files the program carries (packed.py): ONNX with its large tensors kept small.

  python3 export.py FOLDER_WITH_PT OUT_FOLDER      writes .net for each of body.pt, head.pt and joints.pt that is there
  python3 export.py --check FOLDER                 OpenCV reads and runs every .net there; their size together
"""
import os, sys
import numpy as np, torch
import nets
from packed import expand, pack


def onnx_bytes(net, inputs, path):
    if len(inputs) == 1:
        kw = dict(opset_version=11, input_names=["picture"], output_names=["maps", "aux"])
    else:  # any number of crops at once
        kw = dict(opset_version=11, input_names=["picture", "hints"], output_names=["maps"], dynamic_axes={n: {0: "n"} for n in ("picture", "hints", "maps")})
    try:
        torch.onnx.export(net, inputs, path, dynamo=False, **kw)
    except TypeError:
        torch.onnx.export(net, inputs, path, **kw)
    return plain(open(path, "rb").read())


def plain(data):
    """Equal tensors kept once and passed on by Identity nodes (young networks have such) are named directly: OpenCV wants them so."""
    import onnx
    model = onnx.load_model_from_string(data)
    same = {n.output[0]: n.input[0] for n in model.graph.node if n.op_type == "Identity"}
    if not same:
        return data
    kept = [n for n in model.graph.node if n.op_type != "Identity"]
    for n in kept:
        for i, name in enumerate(n.input):
            n.input[i] = same.get(name, name)
    del model.graph.node[:]
    model.graph.node.extend(kept)
    return model.SerializeToString()


def main(folder, out):
    os.makedirs(out, exist_ok=True)
    total = 0
    for kind in ("body", "head", "joints"):
        weights = os.path.join(folder, kind + ".pt")
        if not os.path.exists(weights):
            continue
        net = nets.make(kind)
        net.load_state_dict({k: v.float() if v.is_floating_point() else v for k, v in torch.load(weights, map_location="cpu").items()})
        net.eval()
        if kind == "body":
            net.limbs = None  # of use in training alone
        folded = nets.fold(net)
        inputs = nets.example(kind, 2)
        with torch.no_grad():
            a, b = folded(*inputs), net(*inputs)
            print(kind, "folding changes the maps by at most %.1e" % (a[0] - b[0]).abs().max().item())
        path = os.path.join(out, kind + ".onnx")
        packed = pack(onnx_bytes(folded, nets.example(kind, 1), path))
        os.remove(path)
        open(os.path.join(out, kind + ".net"), "wb").write(packed)
        total += len(packed)
    print("%d bytes in all" % total)


def check(folder):
    import cv2
    total = 0
    for kind in [k for k in nets.SIDES if os.path.exists(os.path.join(folder, k + ".net"))]:
        path = os.path.join(folder, kind + ".net")
        net = cv2.dnn.readNetFromONNX(np.frombuffer(expand(path), np.uint8))
        for name, x in zip(("picture", "hints"), nets.example(kind, 3 if kind == "joints" else 1)):
            net.setInput(x.numpy(), name)
        maps = net.forward("maps")
        assert np.isfinite(maps).all()
        total += os.path.getsize(path)
        print("%-7s %s" % (kind, maps.shape))
    print("%d bytes in all" % total)
    return total <= 12000000


if __name__ == "__main__":
    if sys.argv[1] == "--check":
        sys.exit(0 if check(sys.argv[2]) else "too large")
    main(sys.argv[1], sys.argv[2])
