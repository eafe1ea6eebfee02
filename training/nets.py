"""The two networks: body points of one figure, and the points of one head.

Both are small encoder-decoders with residual blocks. Maps are logits of a spatial softmax, one map a point, at a quarter
of the input's side. `aux` are logits (a point lies in the picture / is to be seen).
"""
import torch, torch.nn as nn, torch.nn.functional as F

BODY = ("crown chin neck_pit shoulder_l shoulder_r elbow_l elbow_r wrist_l wrist_r hand_tip_l hand_tip_r hip_l hip_r "
        "knee_l knee_r ankle_l ankle_r toe_l toe_r").split()
HEAD = ("crown chin head_top jaw_l jaw_r contour_l contour_r eye_l_inner eye_l_outer eye_l_top eye_l_bottom "
        "eye_r_inner eye_r_outer eye_r_top eye_r_bottom brow_l_peak brow_r_peak nose_base mouth_l mouth_r mouth_centre "
        "hairline").split()


def mirror(names):
    def other(n):
        parts = n.split("_")
        return "_".join({"l": "r", "r": "l"}.get(p, p) for p in parts)
    return [names.index(other(n)) for n in names]


BODY_MIRROR, HEAD_MIRROR = mirror(BODY), mirror(HEAD)


class Block(nn.Module):
    def __init__(self, c):
        super().__init__()
        self.a, self.na = nn.Conv2d(c, c, 3, padding=1, bias=False), nn.BatchNorm2d(c)
        self.b, self.nb = nn.Conv2d(c, c, 3, padding=1, bias=False), nn.BatchNorm2d(c)
        nn.init.zeros_(self.nb.weight)

    def forward(self, x):
        return F.relu(x + self.nb(self.b(F.relu(self.na(self.a(x))))))


def unit(i, o, k, stride=1):
    return nn.Sequential(nn.Conv2d(i, o, k, stride, k // 2, bias=False), nn.BatchNorm2d(o), nn.ReLU())


class Net(nn.Module):
    def __init__(self, maps, aux, stem, widths, down, up):
        super().__init__()
        self.stem = nn.Sequential(unit(3, stem, 3, 2), unit(stem, widths[0], 3, 2))
        n = len(widths)
        self.enc = nn.ModuleList([nn.Sequential(*[Block(widths[i]) for _ in range(down[i])]) for i in range(n)])
        self.down = nn.ModuleList([unit(widths[i], widths[i + 1], 3, 2) for i in range(n - 1)])
        self.up = nn.ModuleList([unit(widths[i + 1], widths[i], 1) for i in range(n - 1)])
        self.dec = nn.ModuleList([nn.Sequential(*[Block(widths[i]) for _ in range(up[i])]) for i in range(n - 1)])
        self.maps = nn.Conv2d(widths[0], maps, 1)
        self.aux = nn.Conv2d(widths[-1], aux, 1)

    def forward(self, x):
        x = self.stem((x - 0.5) * 2)
        skip = []
        for i, e in enumerate(self.enc):
            x = e(x)
            if i + 1 < len(self.enc):
                skip.append(x)
                x = self.down[i](x)
        a = self.aux(F.adaptive_avg_pool2d(x, 1)).flatten(1)
        for i in reversed(range(len(skip))):
            x = self.dec[i](skip[i] + F.interpolate(self.up[i](x), scale_factor=2, mode="nearest"))
        return self.maps(x), a


SIDES = {"body": 256, "head": 160}


def make(kind):
    if kind == "body":  # 19 points, figure centre, log half width, log half height; in the picture x 19, facing x 2
        return Net(22, 21, 24, (56, 104, 160, 208), (1, 2, 3, 2), (2, 1, 1))
    return Net(22, 22, 16, (32, 56, 96, 136), (1, 1, 2, 1), (2, 1, 1))


def fold(net):
    """A copy with every batch norm folded into its convolution."""
    import copy
    from torch.nn.utils.fusion import fuse_conv_bn_eval
    m = copy.deepcopy(net).float().cpu().eval()
    for module in m.modules():
        if isinstance(module, Block):
            module.a, module.na = fuse_conv_bn_eval(module.a, module.na), nn.Identity()
            module.b, module.nb = fuse_conv_bn_eval(module.b, module.nb), nn.Identity()
        if isinstance(module, nn.Sequential) and len(module) == 3 and isinstance(module[1], nn.BatchNorm2d):
            module[0], module[1] = fuse_conv_bn_eval(module[0], module[1]), nn.Identity()
    return m


if __name__ == "__main__":
    for k in ("body", "head"):
        n = make(k)
        count = sum(p.numel() for p in n.parameters())
        macs = [0]
        def hook(m, i, o):
            macs[0] += m.weight.numel() * o.shape[2] * o.shape[3]
        for m in n.modules():
            if isinstance(m, nn.Conv2d):
                m.register_forward_hook(hook)
        n.eval()(torch.zeros(1, 3, SIDES[k], SIDES[k]))
        print(k, "%.2f M parameters, %.2f G multiply-adds" % (count / 1e6, macs[0] / 1e9))
