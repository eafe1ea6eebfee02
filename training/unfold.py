"""A shipped .net -> a .pt that training can go on from: python3 unfold.py ../data/proposal/body.net OUT/body.pt

Shipped weights carry their batch norms folded in. Each norm is put back from what its convolution gives on fresh drawings, so that the
network answers as before and the norm has something true to start from. Blocks the network has grown since begin as doing nothing.
"""
import sys
import numpy as np, torch, torch.nn as nn
import nets
from drawer_cpu import Drawer
from packed import expand


def norms(net):
    """Convolution name -> name of the norm behind it."""
    out = {}
    for name, m in net.named_modules():
        if isinstance(m, nets.Block):
            out.update({name + ".a": name + ".na", name + ".b": name + ".nb"})
        elif isinstance(m, nn.Sequential) and len(m) == 3 and isinstance(m[1], nn.BatchNorm2d):
            out[name + ".0"] = name + ".1"
    return out


def main(path, out, pictures=48, seed=77000000):
    from onnx import load_model_from_string, numpy_helper
    kind = path.split("/")[-1].split(".")[0]
    shipped = {t.name: torch.from_numpy(numpy_helper.to_array(t).copy()) for t in load_model_from_string(expand(path)).graph.initializer}
    net = nets.make(kind).eval()
    behind, modules = norms(net), dict(net.named_modules())
    new = []
    with torch.no_grad():
        for conv, norm in behind.items():
            c, n = modules[conv], modules[norm]
            if conv + ".weight" not in shipped:
                new.append(conv)
                continue
            c.weight.copy_(shipped[conv + ".weight"])
            n.running_mean.zero_()
            n.running_var.fill_(1 - n.eps)
            n.weight.fill_(1)
            n.bias.copy_(shipped[conv + ".bias"])
        for name in [n for n in ("maps", "aux", "limbs") if n + ".weight" in shipped]:
            modules[name].weight.copy_(shipped[name + ".weight"])
            modules[name].bias.copy_(shipped[name + ".bias"])
        x = torch.cat([torch.from_numpy(Drawer().draw(seed + i, 8, 0 if kind == "body" else 1, nets.SIDES[kind])[0]) for i in range(0, pictures, 8)])
        seen = {}
        hooks = [modules[c].register_forward_hook(lambda m, i, o, c=c: seen.__setitem__(c, (o.mean((0, 2, 3)), o.var((0, 2, 3), unbiased=False)))) for c in behind]
        before = net(x)[0]
        for h in hooks:
            h.remove()
        for conv, norm in behind.items():
            c, n = modules[conv], modules[norm]
            mean, var = seen[conv]
            if conv in new:
                n.running_mean.copy_(mean)
                n.running_var.copy_(var)
                continue
            s = (var + n.eps).sqrt()
            n.bias.add_(mean)
            n.weight.copy_(s)
            # the norm takes any scale away again: the usual one suits the optimiser's step
            k = (3.0 / c.weight[0].numel()) ** 0.5 / c.weight.pow(2).mean((1, 2, 3)).sqrt().clamp(min=1e-6)
            c.weight.mul_(k[:, None, None, None])
            n.running_mean.copy_(mean * k)
            n.running_var.copy_(var * k * k)
        after = net(x)[0]
        print("%s: %d convolutions, %d new; maps changed by at most %.1e of %.1f" % (kind, len(behind), len(new), (after - before).abs().max(), before.abs().max()))
    torch.save({k: (v.half() if v.is_floating_point() else v) for k, v in net.state_dict().items()}, out)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
