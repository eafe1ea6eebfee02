"""The networks: body points of one figure, the points of one head, and one joint on its own crop.

The first two are small encoder-decoders with residual blocks. Maps are logits of a spatial softmax, one map a point, at a quarter
of the input's side. `aux` are logits (a point lies in the picture / is to be seen).
"""
import torch, torch.nn as nn, torch.nn.functional as F

BODY = ("crown chin neck_pit shoulder_l shoulder_r elbow_l elbow_r wrist_l wrist_r hand_tip_l hand_tip_r hip_l hip_r "
        "knee_l knee_r ankle_l ankle_r toe_l toe_r").split()
HEAD = ("crown chin head_top jaw_l jaw_r contour_l contour_r eye_l_inner eye_l_outer eye_l_top eye_l_bottom "
        "eye_r_inner eye_r_outer eye_r_top eye_r_bottom brow_l_peak brow_r_peak nose_base mouth_l mouth_r mouth_centre "
        "hairline").split()


# the parts of a limb between two points, left then right; beside the points they tell training which limb is whose
LIMBS = [("shoulder", "elbow"), ("elbow", "wrist"), ("wrist", "hand_tip"), ("hip", "knee"), ("knee", "ankle"), ("ankle", "toe"), ("shoulder", "hip")]
LIMB_ENDS = [[BODY.index(a + s), BODY.index(b + s)] for a, b in LIMBS for s in ("_l", "_r")]


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
    def __init__(self, maps, aux, stem, widths, down, up, limbs=0):
        super().__init__()
        self.stem = nn.Sequential(unit(3, stem, 3, 2), unit(stem, widths[0], 3, 2))
        n = len(widths)
        self.enc = nn.ModuleList([nn.Sequential(*[Block(widths[i]) for _ in range(down[i])]) for i in range(n)])
        self.down = nn.ModuleList([unit(widths[i], widths[i + 1], 3, 2) for i in range(n - 1)])
        self.up = nn.ModuleList([unit(widths[i + 1], widths[i], 1) for i in range(n - 1)])
        self.dec = nn.ModuleList([nn.Sequential(*[Block(widths[i]) for _ in range(up[i])]) for i in range(n - 1)])
        self.maps = nn.Conv2d(widths[0], maps, 1)
        self.aux = nn.Conv2d(widths[-1], aux, 1)
        self.limbs = nn.Conv2d(widths[1], limbs, 1) if limbs else None

    def forward(self, x):
        """Maps, aux; with limbs also one map a limb part at an eighth of the input's side (logits: the part passes through the cell)."""
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
            if i == 1 and self.limbs is not None:
                limbs = self.limbs(x)
        return (self.maps(x), a) if self.limbs is None else (self.maps(x), a, limbs)


class Thin(nn.Module):
    """Depthwise and 1 x 1, added to what comes in."""
    def __init__(self, c, k=3):
        super().__init__()
        self.a, self.na = nn.Conv2d(c, c, k, padding=k // 2, groups=c, bias=False), nn.BatchNorm2d(c)
        self.b, self.nb = nn.Conv2d(c, c, 1, bias=False), nn.BatchNorm2d(c)
        nn.init.constant_(self.nb.weight, 0.2)

    def forward(self, x):
        return F.relu(x + self.nb(self.b(self.na(self.a(x)))))


class Refiner(nn.Module):
    """One joint on a crop of 64 x 64 at the picture's resolution. `hints` [n, h, 16, 16]: the body network's belief there and of the
    other side (as logarithms), which joint, where its neighbours lie, how sure it is. Answer: logits over 32 x 32 cells."""
    def __init__(self, hints, fine=20, mid=36, wide=52):
        super().__init__()
        self.stem = unit(3, fine, 3, 2)
        self.fine = Thin(fine)
        self.to_mid = unit(fine, mid, 3, 2)
        self.hints = nn.Sequential(nn.Conv2d(hints, mid, 1, bias=False), nn.BatchNorm2d(mid), nn.ReLU())
        self.mid = nn.Sequential(Thin(mid, 5), Thin(mid, 5))
        self.to_wide = nn.Sequential(nn.Conv2d(mid, mid, 3, 2, 1, groups=mid, bias=False), nn.BatchNorm2d(mid), nn.ReLU())
        self.widen = nn.Sequential(nn.Conv2d(mid, wide, 1, bias=False), nn.BatchNorm2d(wide), nn.ReLU())
        self.wide = nn.Sequential(Thin(wide, 5), Thin(wide, 5))
        self.up_mid = nn.Sequential(nn.Conv2d(wide, mid, 1, bias=False), nn.BatchNorm2d(mid), nn.ReLU())
        self.back = Thin(mid, 5)
        self.up_fine = nn.Sequential(nn.Conv2d(mid, fine, 1, bias=False), nn.BatchNorm2d(fine), nn.ReLU())
        self.last = nn.Sequential(Thin(fine, 5), Thin(fine, 3))
        self.maps = nn.Conv2d(fine, 1, 1)
        self.trust = nn.Conv2d(1, 1, 1)  # of the body network's belief: the answer starts from it
        nn.init.zeros_(self.maps.weight)
        nn.init.constant_(self.trust.weight, 4.0)

    def forward(self, picture, hints):
        f = self.fine(self.stem((picture - 0.5) * 2))
        m = self.mid(self.to_mid(f) + self.hints(hints))
        w = self.wide(self.widen(self.to_wide(m)))
        m = self.back(m + F.interpolate(self.up_mid(w), scale_factor=2, mode="nearest"))
        known = F.interpolate(hints[:, :1], scale_factor=2, mode="bilinear", align_corners=False)
        return self.maps(self.last(f + F.interpolate(self.up_fine(m), scale_factor=2, mode="nearest"))) + self.trust(known)


SIDES = {"body": 256, "head": 160, "joints": 64}
HINTS = 2 + 9 + 7  # belief, kind of joint, cues (refine_data.py)


def make(kind):
    if kind == "body":  # 19 points, figure centre, log half width, log half height; in the picture x 19, facing x 2
        return Net(22, 21, 24, (56, 104, 160, 208), (1, 2, 4, 4), (2, 1, 2), len(LIMB_ENDS))
    if kind == "joints":
        return Refiner(HINTS)
    return Net(22, 22, 16, (32, 56, 96, 136), (1, 1, 2, 1), (2, 1, 1))


def example(kind, n):
    """Inputs of the right shape."""
    side = SIDES[kind]
    return (torch.rand(n, 3, side, side),) + ((torch.rand(n, HINTS, side // 4, side // 4),) if kind == "joints" else ())


def fold(net):
    """A copy with every batch norm folded into its convolution."""
    import copy
    from torch.nn.utils.fusion import fuse_conv_bn_eval
    m = copy.deepcopy(net).float().cpu().eval()
    for module in m.modules():
        if isinstance(module, (Block, Thin)):
            module.a, module.na = fuse_conv_bn_eval(module.a, module.na), nn.Identity()
            module.b, module.nb = fuse_conv_bn_eval(module.b, module.nb), nn.Identity()
        if isinstance(module, nn.Sequential) and len(module) == 3 and isinstance(module[1], nn.BatchNorm2d):
            module[0], module[1] = fuse_conv_bn_eval(module[0], module[1]), nn.Identity()
    return m


if __name__ == "__main__":
    for k in SIDES:
        n = make(k)
        count = sum(p.numel() for p in n.parameters())
        macs = [0]
        def hook(m, i, o):
            macs[0] += m.weight.numel() * o.shape[2] * o.shape[3]
        for m in n.modules():
            if isinstance(m, nn.Conv2d):
                m.register_forward_hook(hook)
        n.eval()(*example(k, 1))
        print(k, "%.3f M parameters, %.4f G multiply-adds" % (count / 1e6, macs[0] / 1e9))
