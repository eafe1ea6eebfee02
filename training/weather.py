"""What happens to a drawing between its maker's mind and us, done to whole batches of pictures 0..1 [n, 3, side, side]:
other hands (bent forms, other colours, other line weights, no colour at all), then scaling, compression, paper, inverted scans, margins.
So the network cannot lean on the drawer's own forms, palettes and lines."""
import math
import torch, torch.nn.functional as F


def few(x, share, pick):
    """Some of the batch: the same number each time, so that compiled and cached kernels fit."""
    n = max(1, int(len(x) * share))
    return (torch.arange(n, device=x.device) + int(pick.randint(len(x)))) % len(x)


def put(x, which, some):
    x = x.clone()
    x[which] = some
    return x


# ---- forms

def bend_field(n, side, pick, device):
    """Displacement [n, 2, side, side] in picture points: slow, so that proportions and limbs' courses change, and a little quick."""
    def noise(cells, size):
        return F.interpolate(torch.randn(n, 2, cells, cells, device=device), size=side, mode="bicubic", align_corners=False) * size
    strength = torch.rand(n, 1, 1, 1, device=device) * side / 256
    quick = torch.rand(n, 1, 1, 1, device=device) * side / 256
    d = noise(int(pick.randint(3, 6)), 7.0) * strength + noise(int(pick.randint(9, 15)), 1.6) * quick
    if pick.rand() < 0.5:
        d = d + noise(int(pick.randint(26, 44)), 0.55) * quick
    i = (torch.arange(side, device=device).float() + 0.5) / side - 0.5
    wide, tall = (torch.randn(n, 1, 1, device=device) * 0.09 * side).clamp(-0.16 * side, 0.16 * side), torch.randn(n, 1, 1, device=device) * 0.03 * side
    return d + torch.stack([wide * i[None, None, :].expand(n, side, side), tall * i[None, :, None].expand(n, side, side)], 1)


def at(field, xy):
    """The field's value at picture points [n, k, 2]."""
    side = field.shape[-1]
    g = (xy / side * 2 - 1)[:, :, None]
    return F.grid_sample(field, g, mode="bilinear", padding_mode="border", align_corners=False)[..., 0].transpose(1, 2)


def bent(x, field):
    """What was at p + field(p) shows at p."""
    n, _, side, _ = x.shape
    i = torch.arange(side, device=x.device).float() + 0.5
    base = torch.stack([i[None, :].expand(side, side), i[:, None].expand(side, side)], -1)
    g = (base[None] + field.permute(0, 2, 3, 1)) / side * 2 - 1
    return F.grid_sample(x, g, mode="bilinear", padding_mode="border", align_corners=False)


def bent_points(xy, field):
    """Where points land: p with p + field(p) = xy, found in a few rounds (the field is slow, so they close in)."""
    p = xy - at(field, xy)
    for _ in range(4):
        p = xy - at(field, p)
    return p


# ---- hands

def painterly(x, pick):
    """Each point takes the mean of the calmest of the four squares about it: strokes of a flat brush."""
    r = int(pick.randint(1, 4))
    p = F.pad(x, (r, r, r, r), mode="replicate")
    g = p.mean(1, keepdim=True)
    k = r + 1
    m, mg, m2 = F.avg_pool2d(p, k, 1), F.avg_pool2d(g, k, 1), F.avg_pool2d(g * g, k, 1)
    var = m2 - mg * mg
    s = x.shape[-1]
    quads = [(0, 0), (0, r), (r, 0), (r, r)]
    v = torch.stack([var[:, 0, i:i + s, j:j + s] for i, j in quads])
    best = v.argmin(0)
    c = torch.stack([m[:, :, i:i + s, j:j + s] for i, j in quads])
    return torch.gather(c, 0, best[None, :, None].expand(1, -1, 3, -1, -1))[0]


def blurred(x, sigma):
    r = max(1, int(math.ceil(2 * sigma)))
    i = torch.arange(-r, r + 1, device=x.device).float()
    k = torch.exp(-i * i / (2 * sigma * sigma))
    k = (k / k.sum()).expand(3, 1, -1)
    x = F.conv2d(F.pad(x, (r, r, 0, 0), mode="replicate"), k[:, :, None, :], groups=3)
    return F.conv2d(F.pad(x, (0, 0, r, r), mode="replicate"), k[:, :, :, None], groups=3)


def line_only(x, pick):
    """Edges as ink: a traced drawing."""
    ink = (blurred(x, float(pick.uniform(0.5, 0.9))) - blurred(x, float(pick.uniform(1.2, 2.4)))).abs().amax(1, keepdim=True)
    ink = (ink * float(pick.uniform(6, 16)) - float(pick.uniform(0, 0.25))).clamp(0, 1)
    n = len(x)
    paper, colour = 1 - torch.rand(n, 3, 1, 1, device=x.device) * 0.12, torch.rand(n, 3, 1, 1, device=x.device) * 0.4
    keep = torch.rand(n, 1, 1, 1, device=x.device) * (torch.rand(n, 1, 1, 1, device=x.device) < 0.4)  # some keep a pale wash
    return (paper * (1 - keep) + keep * (0.5 + 0.5 * x)) * (1 - ink) + colour * ink


def filtered(x, pick):
    """A random small filter, brought back to the picture's own range: another material every time."""
    n, k = len(x), int(pick.choice([1, 3, 3, 5]))
    w = torch.randn(n * 3, 3, k, k, device=x.device) / math.sqrt(3 * k * k)
    h = k // 2
    y = F.conv2d(F.pad(x, (h, h, h, h), mode="replicate").reshape(1, n * 3, x.shape[2] + 2 * h, x.shape[3] + 2 * h), w, groups=n).reshape(x.shape)
    mean, sd = y.mean((2, 3), keepdim=True), y.std((2, 3), keepdim=True) + 1e-3
    y = (y - mean) / sd * x.std((2, 3), keepdim=True) + x.mean((2, 3), keepdim=True)
    m = torch.rand(n, 1, 1, 1, device=x.device)
    return (x * (1 - m) + y * m).clamp(0, 1)


def recoloured(x):
    """Other palettes: channels mixed by a random near-rotation about grey, then another curve."""
    n = len(x)
    m = torch.randn(n, 3, 3, device=x.device) * 0.5 + torch.eye(3, device=x.device)
    m = m + (1 - m.sum(2, keepdim=True)) / 3  # grey stays grey
    y = torch.einsum("nij,njhw->nihw", m, x)
    return y.clamp(0, 1) ** torch.exp(torch.randn(n, 1, 1, 1, device=x.device) * 0.35)


# ---- media

def grey(x):
    return (x * torch.tensor([0.30, 0.59, 0.11], device=x.device).view(1, 3, 1, 1)).sum(1, keepdim=True)


def plane(x):
    i = torch.arange(x.shape[-1], device=x.device).float()
    return i[None, None, None, :], i[None, None, :, None]


def each(x, pick, lo, hi):
    """One number a picture."""
    return torch.rand(len(x), 1, 1, 1, device=x.device) * (hi - lo) + lo


def cells(x, size):
    """Smooth noise 0..1 whose spots are about `size` points large, the same for the three colours."""
    n, _, side, _ = x.shape
    return F.interpolate(torch.rand(n, 1, max(2, int(side / size)), max(2, int(side / size)), device=x.device), size=side, mode="bicubic").clamp(0, 1)


def edges(x, fine=0.7, wide=1.6, gain=9.0):
    return ((blurred(x, fine) - blurred(x, wide)).abs().amax(1, keepdim=True) * gain - 0.1).clamp(0, 1)


def engraved(x, pick):
    """Tones as strokes that swell, crossed where it is dark; or as dots; contours kept."""
    u, v = plane(x)
    dark = 1 - grey(blurred(x, float(pick.uniform(0.5, 1.5))))
    dark = ((dark - each(x, pick, 0.06, 0.2)) * each(x, pick, 0.6, 1.2)).clamp(0, 1)
    a, f = each(x, pick, 0, math.pi), each(x, pick, 0.9, 2.2) * 256 / x.shape[-1]
    wob = (cells(x, 40) - 0.5) * each(x, pick, 0, 8)  # strokes that bend
    s, t = u * torch.cos(a) + v * torch.sin(a) + wob, v * torch.cos(a) - u * torch.sin(a) + wob
    one, two = 0.5 + 0.5 * torch.sin(s * f), 0.5 + 0.5 * torch.sin((t * 0.95 + s * 0.3) * f)
    k = int(pick.randint(3))
    if k == 0:
        ink = ((dark - one) * 5 + 0.5).clamp(0, 1)
    elif k == 1:
        ink = torch.maximum(((dark * 1.3 - one) * 5 + 0.5).clamp(0, 1), ((dark * 1.5 - 0.5 - two) * 5 + 0.5).clamp(0, 1))
    else:  # halftone
        ink = ((dark - (one + two) / 2) * 6 + 0.5).clamp(0, 1)
    ink = torch.maximum(ink, edges(x))
    paper, black = 1 - torch.rand(len(x), 3, 1, 1, device=x.device) * 0.15, torch.rand(len(x), 3, 1, 1, device=x.device) * 0.3
    y = paper * (1 - ink) + black * ink
    wash = (torch.rand(len(x), 1, 1, 1, device=x.device) < 0.35).float() * 0.7  # over flat colours
    return y * (1 - wash) + wash * x * (1 - ink * 0.8)


def washed(x, pick):
    """Watercolour: pigment runs over the lines, gathers at its edges, leaves white; the pen's lines stay where they were."""
    n, _, side, _ = x.shape
    line = edges(x) * (1 - grey(blurred(x, 0.6)))
    flow = (torch.stack([cells(x, 22)[:, 0], cells(x, 22)[:, 0]], 1) - 0.5) * each(x, pick, 4, 22) * side / 256
    light = F.max_pool2d(F.pad(x, (2, 2, 2, 2), mode="replicate"), 5, 1)  # the colours without lines
    p = bent(blurred(light, float(pick.uniform(1, 3))), flow)
    rim = (blurred(p, 1.0) - blurred(p, 3.0)).abs().amax(1, keepdim=True)
    p = p * (1 - 1.2 * rim.clamp(0, 0.4))
    p = 1 - (1 - p) * (0.45 + 0.7 * cells(x, 30)) * (0.85 + 0.3 * cells(x, 3))
    keep = each(x, pick, 0, 1.2).clamp(0, 1)
    return (p * (1 - line * keep)).clamp(0, 1)


def dry_brush(x, pick):
    """Ink that breaks up in streaks, or a line that stops and starts again."""
    n, _, side, _ = x.shape
    k = 2 * int(pick.randint(2, 6)) + 1
    paper = F.max_pool2d(F.pad(x, (k // 2,) * 4, mode="replicate"), k, 1)
    if pick.rand() < 0.5:
        h, w = (side // 2, side // 14) if pick.rand() < 0.5 else (side // 14, side // 2)
        gap = F.interpolate(torch.rand(n, 1, h, w, device=x.device), size=side, mode="bilinear") - each(x, pick, 0.45, 0.75)
        bare = (torch.rand(n, 1, 1, 1, device=x.device) < 0.5).float()  # down to the paper, in masses too
        paper = paper * (1 - bare) + bare * x.amax((2, 3), keepdim=True)
    else:
        gap = cells(x, float(pick.uniform(8, 24))) - each(x, pick, 0.35, 0.65)
    return x + (paper - x) * (gap * 8).clamp(0, 1)


def searching(x, pick):
    """The contour tried two or three times over."""
    y = x
    for _ in range(int(pick.randint(1, 3))):
        z = bent(x, (torch.cat([cells(x, 40), cells(x, 40)], 1) - 0.5) * each(x, pick, 5, 16) * x.shape[-1] / 256)
        y = torch.minimum(y, z + (1 - z) * each(x, pick, 0, 0.6))
    return y


def white_on_dark(x, pick):
    """Chalk or scraper board: contours light on a dark ground, the forms a little lighter than it or not at all."""
    e = edges(x, gain=12.0)
    g = grey(x)
    dark = torch.rand(len(x), 3, 1, 1, device=x.device) * 0.22
    light = 1 - torch.rand(len(x), 3, 1, 1, device=x.device) * 0.3
    body = dark + 0.3 * each(x, pick, 0, 1) * (g if pick.rand() < 0.5 else 1 - g)
    return body * (1 - e) + light * e


def faint(x, pick):
    """Close tones: pencil scarcely darker than the paper, a picture at dusk or in fog."""
    m = each(x, pick, 0.1, 0.95)
    return m + (x - x.mean((2, 3), keepdim=True)) * each(x, pick, 0.18, 0.45) + 0.02 * (cells(x, 2) - 0.5)


def overgrown(x, pick):
    """A restless ground of the picture's own colours, which also plays over the figure a little."""
    n, _, side, _ = x.shape
    c = x[:, :, torch.randint(side, (6,), device=x.device), torch.randint(side, (6,), device=x.device)]  # six of its colours
    y = c[:, :, 0, None, None].expand(-1, -1, side, side)
    for i in range(1, 6):
        spot = ((cells(x, float(pick.uniform(6, 40))) - each(x, pick, 0.45, 0.7)) * each(x, pick, 3, 30)).clamp(0, 1)
        y = y * (1 - spot) + c[:, :, i, None, None] * spot
    paper = x[:, :, 1:2, 1:2]
    ground = (1 - (x - paper).abs().amax(1, keepdim=True) * 8).clamp(0, 1) * each(x, pick, 0.3, 0.8)
    ground = ground + (1 - ground) * each(x, pick, 0, 0.2)
    return x * (1 - ground) + y * ground


def dabbed(x, pick):
    """Strokes of one colour each, longer than wide, in one direction that slowly turns: thick paint, pastel, cut paper."""
    n, _, side, _ = x.shape
    u, v = plane(x)
    a = each(x, pick, 0, math.pi) + (cells(x, 90) - 0.5) * each(x, pick, 0, 1.5)
    wide, ratio = each(x, pick, 1.2, 3.5) * side / 256, each(x, pick, 1, 3)
    c, s = torch.cos(a), torch.sin(a)
    shake = (torch.cat([cells(x, 5), cells(x, 5)], 1) - 0.5) * each(x, pick, 1, 3) * wide
    p, q = (u * c + v * s + shake[:, :1]) / (wide * ratio), (v * c - u * s + shake[:, 1:]) / wide
    q0 = torch.floor(q)
    p = p + torch.frac(torch.sin(q0 * 12.9898) * 437.585)  # rows are shifted against each other
    dp, dq = (torch.floor(p) + 0.5 - p) * wide * ratio * 0.9, (q0 + 0.5 - q) * wide * 0.9
    y = bent(x, torch.cat([dp * c - dq * s, dp * s + dq * c], 1))
    relief = 1 + (torch.frac(torch.sin(torch.floor(p) * 78.233 + q0 * 37.719) * 43.5853) - 0.5) * each(x, pick, 0, 0.25)
    return y * relief


MEDIA = [engraved, engraved, washed, dry_brush, searching, white_on_dark, faint, overgrown, dabbed]


def other_hand(x, pick, share=1.0):
    """`share` times as many pictures by other hands as usual."""
    if pick.rand() < 0.6:
        i = few(x, 0.12 * share, pick)
        x = put(x, i, MEDIA[int(pick.randint(len(MEDIA)))](x[i], pick).clamp(0, 1))
    if pick.rand() < 0.5:
        i = few(x, 0.12 * share, pick)
        x = put(x, i, line_only(x[i], pick))
    if pick.rand() < 0.5:
        i = few(x, 0.15 * share, pick)
        x = put(x, i, filtered(x[i], pick))
    i = few(x, 0.2 * share, pick)
    x = put(x, i, recoloured(x[i]))
    if pick.rand() < 0.5:  # lines a little heavier, or so thin that some are lost
        i = few(x, 0.12 * share, pick)
        p = F.pad(x[i], (1, 1, 1, 1), mode="replicate")
        x = put(x, i, -F.max_pool2d(-p, 3, 1) if pick.rand() < 0.6 else 0.5 * x[i] + 0.5 * F.max_pool2d(p, 3, 1))
    if pick.rand() < 0.3:  # few flat tones
        i = few(x, 0.1 * share, pick)
        q = float(pick.randint(2, 6))
        x = put(x, i, torch.round(blurred(x[i], float(pick.uniform(0.4, 1.2))) * q) / q)
    return x


def covered(x, pts, pick, share):
    """A limb or two under a patch of colour or of another picture: its neighbours must be read from what is drawn there, not from how
    limbs usually go together. What lies under a patch counts a quarter. pts: [n, points, 3], body points."""
    side = x.shape[-1]
    i = few(x, share, pick)
    p = pts[i].clone()
    k = len(p)
    size = (p[..., :2].amax(1) - p[..., :2].amin(1)).amax(1).clamp(24, side)
    g = torch.arange(side, device=x.device).float()
    under = torch.zeros(k, side, side, dtype=torch.bool, device=x.device)
    hidden = torch.zeros_like(p[..., 0], dtype=torch.bool)
    for _ in range(int(pick.randint(1, 4))):
        which = torch.randint(3, p.shape[1], (k,), device=x.device)
        at = p[torch.arange(k), which, :2] + torch.randn(k, 2, device=x.device) * 0.03 * size[:, None]
        r = size[:, None] * (0.05 + 0.11 * torch.rand(k, 2, device=x.device))
        box = torch.rand(k, device=x.device) < 0.4
        u, v = (g[None, None] - at[:, :1, None]) / r[:, :1, None], (g[None, :, None] - at[:, 1:, None]) / r[:, 1:, None]
        under |= torch.where(box[:, None, None], torch.maximum(u.abs(), v.abs()), (u * u + v * v).sqrt()) < 1
        q = (p[..., :2] - at[:, None]) / r[:, None]
        hidden |= torch.where(box[:, None], q.abs().amax(-1), q.norm(dim=-1)) < 1
    flat = torch.where(torch.rand(k, 1, device=x.device) < 0.6, x[i][:, :, 3, 3], torch.rand(k, 3, device=x.device))[..., None, None]
    patch = torch.where(torch.rand(k, 1, 1, 1, device=x.device) < 0.6, flat.expand(-1, -1, side, side), x[i].roll(1, 0))
    p[..., 2] = p[..., 2] * torch.where(hidden, 0.25, 1.0)
    return put(x, i, torch.where(under[:, None], patch, x[i])), put(pts, i, p)


# ---- paper, scanner, web

n8 = torch.arange(8.0)
D8 = torch.cos((2 * n8[None] + 1) * n8[:, None] * math.pi / 16) * 0.5
D8[0] /= math.sqrt(2)
DCT = torch.einsum("ui,vj->uvij", D8, D8).reshape(64, 1, 8, 8)
STEP = (1 + n8[:, None] + n8[None]).reshape(1, 64, 1, 1)


def compressed(x, strength):
    n, _, side, _ = x.shape
    dct, q = DCT.to(x.device), STEP.to(x.device) * strength
    z = torch.round(F.conv2d(x.reshape(n * 3, 1, side, side), dct, stride=8) / q) * q
    return F.conv_transpose2d(z, dct, stride=8).reshape(x.shape)


def weather(x, box, pick, margins, hands=1.0):
    """box: [n, figures, 5], the first being the main figure's; margins: white letterbox margins may come in; hands: how many more by other hands."""
    n, side = len(x), x.shape[-1]
    rnd = lambda *s: torch.rand(*s, device=x.device)
    k, i = int(pick.randint(6)), few(x, 0.25, pick)
    if k == 1:
        x = put(x, i, F.interpolate(F.interpolate(x[i], scale_factor=0.5, mode="area"), size=side, mode="bilinear"))
    if k == 2:
        x = put(x, i, F.avg_pool2d(F.pad(x[i], (1, 1, 1, 1), mode="replicate"), 3, 1))
    if k == 3:
        x = put(x, i, F.interpolate(F.interpolate(x[i], size=int(pick.randint(side // 3, side)), mode="bilinear"), size=side, mode="bilinear"))
    if k >= 4:
        x = put(x, i, painterly(x[i], pick))
    x = other_hand(x, pick, hands)
    if pick.rand() < 0.6:
        i = few(x, 0.25, pick)
        x = put(x, i, compressed(x[i], float(pick.uniform(0.01, 0.06))))
    c = (rnd(n, 1, 1, 1) < 0.35).float()
    x = (x - 0.5) * (1 + c * (rnd(n, 1, 1, 1) * 0.8 - 0.5)) + 0.5 + c * (rnd(n, 1, 1, 1) * 0.4 - 0.2) * (rnd(n, 1, 1, 1) < 0.5)
    x = x * (1 + (rnd(n, 1, 1, 1) < 0.15).float() * (rnd(n, 3, 1, 1) * 0.5 - 0.25))
    gr = (rnd(n, 1, 1, 1) < 0.1).float()
    x = x * (1 - gr) + gr * x.mean(1, keepdim=True)
    iv = (rnd(n, 1, 1, 1) < 0.03).float()
    x = x * (1 - iv) + iv * (1 - x)
    x = x + (rnd(n, 1, 1, 1) < 0.3).float() * rnd(n, 1, 1, 1) * 0.08 * torch.randn_like(x)
    # soft uneven light over the paper
    uneven = F.interpolate(rnd(n, 1, 4, 4), size=side, mode="bicubic", align_corners=False)
    x = x * (1 - (rnd(n, 1, 1, 1) < 0.12).float() * 0.35 * uneven)
    if margins:
        i = torch.arange(side, device=x.device).float()
        m = (rnd(n) < 0.2).float() * (box[:, 0, 4] > 0).float()
        lo = (box[:, 0, 0] - box[:, 0, 2] - 6) * m * rnd(n)
        hi = side - (side - (box[:, 0, 0] + box[:, 0, 2]) - 6).clamp(min=0) * m * rnd(n)
        out = ((i[None] < lo[:, None]) | (i[None] > hi[:, None])).float()[:, None, None]
        x = x * (1 - out) + out
    return x.clamp(0, 1)
