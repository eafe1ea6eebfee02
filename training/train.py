"""Trains one of the two networks on figures that the drawer draws while training goes on.

  python3 train.py body --seconds 480 --seed 1 --out OUT [--init OUT/body.pt]
  torchrun --nproc_per_node 2 train.py body ...        # the same on several GPUs
  ... --seconds 1400 --pause 580                       # 580 s of it now; the same command again goes on where this one stopped

Nothing but the drawer's own pictures is ever read. Needs nvcc, PyTorch and one GPU; `--smoke` runs a few steps on a CPU.
"""
import argparse, copy, ctypes, math, os, subprocess, sys, time
import numpy as np
import torch, torch.nn.functional as F
try:
    import cv2  # only for a sheet of what was seen
except ImportError:
    cv2 = None

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, HERE)
import nets, weather
from drawer_cpu import split_labels, Drawer

ap = argparse.ArgumentParser()
ap.add_argument("kind", choices=["body", "head"])
ap.add_argument("--seconds", type=float, default=480)
ap.add_argument("--batch", type=int, default=256)
ap.add_argument("--rate", type=float, default=1.5e-3)
ap.add_argument("--pool", type=int, default=2048, help="scenes kept at a time; each is shown twice")
ap.add_argument("--hands", type=float, default=1, help="how many times as many pictures are redrawn by other hands (weather.py)")
ap.add_argument("--cover", type=float, default=0, help="share of the body's pictures with limbs under patches (weather.py)")
ap.add_argument("--mean", type=float, default=0, help="the rate stays as it is and the mean of all steps after this share of the time is kept: a wider valley")
ap.add_argument("--init", default="")
ap.add_argument("--seed", type=int, default=1)
ap.add_argument("--out", default="out")
ap.add_argument("--gpu", type=int, default=0)
ap.add_argument("--pause", type=float, default=0, help="seconds after which this process stops, to be gone on with by the next one with the same --out")
ap.add_argument("--smoke", action="store_true")
a = ap.parse_args()

rank, world = int(os.environ.get("LOCAL_RANK", 0)), int(os.environ.get("WORLD_SIZE", 1))
smoke = a.smoke
dev = torch.device("cpu") if smoke else torch.device("cuda", rank if world > 1 else a.gpu)
if not smoke:
    torch.cuda.set_device(dev)
    torch.backends.cudnn.benchmark = True
    torch.backends.cuda.matmul.allow_tf32 = True
if world > 1:
    import torch.distributed as dist
    dist.init_process_group("nccl")
torch.manual_seed(a.seed * 1000 + rank)
pick = np.random.RandomState(a.seed * 1000 + rank)
B, SIDE, BODYNET = a.batch, nets.SIDES[a.kind], a.kind == "body"
MAPS = SIDE // 4
NP = len(nets.BODY) if BODYNET else len(nets.HEAD)
MIRROR = torch.tensor(nets.BODY_MIRROR if BODYNET else nets.HEAD_MIRROR, device=dev)
os.makedirs(a.out, exist_ok=True)
t_start = time.time()


class GpuDrawer:
    """Two pools of scenes: one is painted from while the other is made."""

    def __init__(self):
        so = os.environ.get("DRAWER_SO", "/tmp/libdrawer_gpu.so")
        if not os.path.exists(so):
            subprocess.check_call(["nvcc", "-O3", "-use_fast_math", "-arch=native", "-shared", "-Xcompiler", "-fPIC", "-o", so,
                                   os.path.join(HERE, "drawer", "drawer.cu"), "-diag-suppress=177,550"])
        self.lib = ctypes.CDLL(so)
        self.lib.drawer_slot_bytes.restype = ctypes.c_size_t
        self.floats = self.lib.drawer_label_floats()
        self.scratch = [torch.zeros(self.lib.drawer_slot_bytes() * a.pool, dtype=torch.uint8, device=dev) for _ in range(2)]
        self.labels = [torch.zeros(a.pool, self.floats, device=dev) for _ in range(2)]
        self.made = 0

    def make(self, i, stream):
        seed = (a.seed * 100000007 + (self.made * world + rank) * a.pool) & 0xFFFFFFFF
        self.made += 1
        r = self.lib.drawer_make(ctypes.c_uint32(seed), a.pool, 0 if BODYNET else 1, ctypes.c_void_p(self.scratch[i].data_ptr()),
                                 ctypes.c_void_p(self.labels[i].data_ptr()), ctypes.c_void_p(stream.cuda_stream))
        assert r == 0, "drawer_make: CUDA error %d" % r

    def paint(self, i, which, windows, stream):
        out = torch.empty(len(which), 3, SIDE, SIDE, device=dev)
        r = self.lib.drawer_paint(ctypes.c_void_p(self.scratch[i].data_ptr()), ctypes.c_void_p(which.data_ptr()), ctypes.c_void_p(windows.data_ptr()),
                                  len(which), SIDE, ctypes.c_void_p(out.data_ptr()), ctypes.c_void_p(stream.cuda_stream))
        assert r == 0, "drawer_paint: CUDA error %d" % r
        return out


def rnd(*s):
    return torch.rand(*s, device=dev)


def windows_for(l):
    """Square views [n, 4] of the scenes: the whole frame, a little moved and turned; or the head."""
    n = len(l["main"])
    if BODYNET:
        u = 256 / SIDE * torch.exp(torch.randn(n, device=dev) * 0.05 * (rnd(n) < 0.6))
        t = torch.randn(n, device=dev) * 0.12 * (rnd(n) < 0.3)
        c = 128 + torch.randn(n, 2, device=dev) * 5 * (rnd(n, 1) < 0.6)
    else:
        p = l["head"]
        crown, chin = p[:, 0, :2], p[:, 1, :2]
        up = crown - chin
        h = up.norm(dim=1).clamp(min=4)
        # found crown and chin are off by several per cent of the head; the crop is turned upright when the head is far from it
        h = h * torch.exp(torch.randn(n, device=dev) * 0.10)
        angle = torch.atan2(up[:, 0], -up[:, 1])  # 0: upright
        t = torch.where(rnd(n) < 0.5, angle + torch.randn(n, device=dev) * 0.12, torch.where(angle.abs() < 0.6, torch.zeros_like(angle), angle)) + torch.randn(n, device=dev) * 0.06
        c = (crown + chin) / 2 + torch.randn(n, 2, device=dev) * 0.06 * h[:, None]
        u = h * 1.6 / SIDE
    ux, uy = u * torch.cos(t), u * torch.sin(t)
    half = SIDE / 2
    return torch.stack([c[:, 0] - ux * half + uy * half, c[:, 1] - uy * half - ux * half, ux, uy], 1).contiguous()


def into(w, xy):
    """Frame units -> picture points of the window."""
    while w.dim() < xy.dim():
        w = w.unsqueeze(1)
    d = xy - w[..., :2]
    ux, uy = w[..., 2], w[..., 3]
    k = ux * ux + uy * uy
    return torch.stack([(ux * d[..., 0] + uy * d[..., 1]) / k, (-uy * d[..., 0] + ux * d[..., 1]) / k], -1)


def cut_boxes(b, pts):
    """Boxes with the main one again from its points, cut by the picture; those with their middle outside do not count."""
    if BODYNET:
        x = pts[..., :2].clamp(0, SIDE)
        lo, hi = x.amin(1), x.amax(1)
        b[:, 0, :2], b[:, 0, 2:4] = (lo + hi) / 2, ((hi - lo) / 2).clamp(min=2)
    b[..., 4] = b[..., 4] * ((b[..., :2] > 0) & (b[..., :2] < SIDE)).all(-1).float()
    return b


def to_targets(l, w):
    """Labels in the window: points [n, P, 3] (weight 1 inside), boxes [n, F, 5]."""
    pts = l["body" if BODYNET else "head"].clone()
    pts[..., :2] = into(w, pts[..., :2])
    if BODYNET:
        pts[..., 2] = pts[..., 2] * 1.0
        inside = ((pts[..., :2] > -1) & (pts[..., :2] < SIDE + 1)).all(-1).float() * (l["body"][..., 2] >= 0)
        has = (l["box"][:, 0, 4] > 0).float()
        pts[..., 2] = inside * has[:, None]
    else:
        pts[..., 2] = pts[..., 2] * ((pts[..., :2] > 0) & (pts[..., :2] < SIDE)).all(-1).float()
    b = l["box"].clone()
    k = 1 / (w[:, 2] ** 2 + w[:, 3] ** 2).sqrt()
    b[..., :2] = into(w, b[..., :2])
    b[..., 2:4] = b[..., 2:4] * k[:, None, None]
    return pts, cut_boxes(b, pts)


def one_batch(l, which, image, w):
    pts, box = to_targets({k: v[which] for k, v in l.items()}, w)
    meta = {k: l[k][which] for k in ("facing", "ambiguous", "main")}
    flip = rnd(B) < 0.5
    image = torch.where(flip[:, None, None, None], image.flip(3), image)
    q = pts[:, MIRROR].clone()
    q[..., 0] = SIDE - q[..., 0]
    pts = torch.where(flip[:, None, None], q, pts)
    bx = box.clone()
    bx[..., 0] = SIDE - bx[..., 0]
    box = torch.where(flip[:, None, None], bx, box)
    f = meta["facing"].clone()
    f[:, 0] = torch.where(flip, -f[:, 0], f[:, 0])
    meta["facing"] = f
    if pick.rand() < 0.75:
        image, pts, box = bend_some(image, pts, box)
    if BODYNET and a.cover > 0:
        image, pts = weather.covered(image, pts, pick, a.cover)
    return weather.weather(image, box, pick, BODYNET, a.hands), pts, box, meta


def bend_some(image, pts, box):
    """Half of the batch redrawn with forms bent: the drawer's own forms are too true to be all there is."""
    i = weather.few(image, 0.5, pick)
    field = weather.bend_field(len(i), SIDE, pick, dev)
    p, b = pts[i].clone(), box[i].clone()
    p[..., :2] = weather.bent_points(p[..., :2], field)
    inside = ((p[..., :2] > (-1 if BODYNET else 0)) & (p[..., :2] < SIDE + (1 if BODYNET else 0))).all(-1).float()
    p[..., 2] = p[..., 2] * inside
    b[..., :2] = weather.bent_points(b[..., :2], field)
    return weather.put(image, i, weather.bent(image[i], field)), weather.put(pts, i, p), weather.put(box, i, cut_boxes(b, p))


grid = torch.arange(MAPS, device=dev).float()


def bumps(x, y, sigma):
    gx = torch.exp(-((grid - x[..., None]) ** 2) / (2 * sigma * sigma))
    gy = torch.exp(-((grid - y[..., None]) ** 2) / (2 * sigma * sigma))
    return gy[..., :, None] * gx[..., None, :]


def loss_of(out, aux, pts, box, meta, sigma):
    cell = (pts[..., :2] - 2) / 4
    target = bumps(cell[..., 0], cell[..., 1], sigma)
    target = target / (target.sum((2, 3), keepdim=True) + 1e-6)
    logp = F.log_softmax(out[:, :NP].float().flatten(2), 2)
    lead = meta["main"][:, None] if BODYNET else torch.ones_like(meta["main"])[:, None]
    w = pts[..., 2] * lead
    # points at the picture's border would be squeezed into it
    w = w * ((cell > -0.6) & (cell < MAPS - 0.4)).all(-1).float()
    ce = -(target.flatten(2) * logp).sum(2) * w
    den = w.sum(1) + 1e-3
    s0 = ce.sum(1)
    if BODYNET:  # where nothing tells left from right either naming counts half
        ces = (-(target[:, MIRROR].flatten(2) * logp).sum(2) * w[:, MIRROR]).sum(1)
        am = meta["ambiguous"]
        s0 = (1 - 0.5 * am) * s0 + 0.5 * am * torch.minimum(s0, ces)
    loss = (s0 / den * (den > 0.5)).sum() / ((den > 0.5).sum() + 1e-3)
    seen = (pts[..., 2] > (0 if BODYNET else 0.5)).float()
    bce = F.binary_cross_entropy_with_logits(aux[:, :NP].float(), seen, reduction="none").mean(1)
    loss = loss + 0.3 * ((bce * lead[:, 0]).mean())
    if BODYNET:
        loss = loss + 0.1 * (((aux[:, NP:].float() - meta["facing"]) ** 2).sum(1) * (1 - meta["ambiguous"]) * lead[:, 0]).mean()
        bc = (box[..., :2] - 2) / 4
        spread = (box[..., 2:4].amin(-1) / 4 * 0.25).clamp(1.0, 3.0)
        hm = (torch.exp(-((grid[None, None, None] - bc[..., 0, None, None]) ** 2 + (grid[None, None, :, None] - bc[..., 1, None, None]) ** 2)
                        / (2 * spread[..., None, None] ** 2)) * box[..., 4, None, None]).amax(1)
        z = out[:, 19].float()
        p = torch.sigmoid(z)
        pos = hm > 0.97
        focal = torch.where(pos, F.softplus(-z) * (1 - p) ** 2, F.softplus(z) * p ** 2 * (1 - hm) ** 4)
        loss = loss + 0.2 * focal.sum((1, 2)).mean()
        near = (hm > 0.6).float()
        logs = torch.log(box[..., 2:4].clamp(min=2) / 64)  # [B, F, 2]
        who = (((grid[None, None, None] - bc[..., 0, None, None]) ** 2 + (grid[None, None, :, None] - bc[..., 1, None, None]) ** 2)
               + 1e6 * (1 - box[..., 4, None, None])).argmin(1)  # [B, M, M]
        size = torch.gather(logs, 1, who.flatten(1)[..., None].expand(-1, -1, 2)).reshape(len(out), MAPS, MAPS, 2).permute(0, 3, 1, 2)
        loss = loss + 0.3 * ((out[:, 20:22].float() - size).abs() * near[:, None]).sum() / (near.sum() + 1) / 2
    return loss, logp


def limb_loss(limbs, pts, meta):
    """Whose limb passes through which cell of 8 x 8: what the points alone say only at their own places."""
    g = torch.arange(SIDE // 8, device=dev).float()
    cell = (pts[..., :2] - 4) / 8
    from_, to = cell[:, LIMB_ENDS[:, 0]], cell[:, LIMB_ENDS[:, 1]]
    d = to - from_
    x, y = g[None, None, None] - from_[..., 0, None, None], g[None, None, :, None] - from_[..., 1, None, None]
    t = ((x * d[..., 0, None, None] + y * d[..., 1, None, None]) / ((d ** 2).sum(-1) + 1e-3)[..., None, None]).clamp(0, 1)
    target = torch.exp(-((x - t * d[..., 0, None, None]) ** 2 + (y - t * d[..., 1, None, None]) ** 2) / (2 * 0.7 ** 2))
    w = pts[:, LIMB_ENDS[:, 0], 2] * pts[:, LIMB_ENDS[:, 1], 2] * (meta["main"] * (1 - meta["ambiguous"]))[:, None]
    each = F.binary_cross_entropy_with_logits(limbs.float(), target, reduction="none").sum((2, 3)) / (target.sum((2, 3)) + 4)
    return (each * w).sum() / (w.sum() + 1e-3)


net = nets.make(a.kind)
if BODYNET:
    LIMB_ENDS = torch.tensor(nets.LIMB_ENDS, device=dev)
    with torch.no_grad():
        net.maps.bias[19] = -4.6  # figures' centres are rare
        net.limbs.bias.fill_(-3)
net = net.to(dev).to(memory_format=torch.channels_last)
state_path = os.path.join(a.out, "state_%s.pt" % a.kind)
state = torch.load(state_path, map_location=dev) if a.pause and os.path.exists(state_path) else None
if state:
    net.load_state_dict(state["net"])
elif a.init:
    kept = {k: v.float() if v.is_floating_point() else v for k, v in torch.load(a.init, map_location=dev).items() if not k.startswith("limbs.")}
    missing, foreign = net.load_state_dict(kept, strict=False)
    assert not foreign and all(k.startswith("limbs.") for k in missing), (missing, foreign)
if world > 1:
    for p in list(net.parameters()) + list(net.buffers()):
        dist.broadcast(p.data, 0)
ema = copy.deepcopy(net).eval()
for p in ema.parameters():
    p.requires_grad_(False)
decay = [p for p in net.parameters() if p.dim() > 1]
plain = [p for p in net.parameters() if p.dim() <= 1]
opt = torch.optim.AdamW([{"params": decay, "weight_decay": 0.03}, {"params": plain, "weight_decay": 0}], lr=a.rate, **({} if smoke else {"fused": True}))
if state:
    ema.load_state_dict(state["ema"])
    opt.load_state_dict(state["opt"])
say = (lambda *s: print(a.kind, *s, flush=True)) if rank == 0 else (lambda *s: None)
say("%.2f M parameters" % (sum(p.numel() for p in net.parameters()) / 1e6))

if smoke:
    cpu = Drawer()
    image, lab = None, None
else:
    drawer = GpuDrawer()
    if state:
        drawer.made = state["made"]
    side = torch.cuda.Stream()
    with torch.cuda.stream(side):
        drawer.make(0, side)
    torch.cuda.synchronize()
    t = time.time()
    with torch.cuda.stream(side):
        drawer.make(0, side)
        torch.cuda.synchronize()
        t1 = time.time()
        lab = split_labels(drawer.labels[0])
        which = torch.arange(B, device=dev, dtype=torch.int32)
        w = windows_for({k: v[:B] for k, v in lab.items()})
        image = drawer.paint(0, which, w, side)
        torch.cuda.synchronize()
        t2 = time.time()
        image = drawer.paint(0, which, w, side)
        torch.cuda.synchronize()
    say("a pool of %d scenes %.1f ms, a batch of %d pictures %.1f ms" % (a.pool, (t1 - t) * 1e3, B, (time.time() - t2) * 1e3))

run = net
if not smoke and os.environ.get("COMPILE", "1") == "1":
    try:  # about a third faster; when the compiler is missing the plain network does as well
        run = torch.compile(net)
        for _ in range(2):
            with torch.autocast("cuda", torch.bfloat16):
                outputs = run(image.contiguous(memory_format=torch.channels_last))
            sum(o.float().mean() * 0 for o in outputs).backward()
        torch.cuda.synchronize()
        say("compiled after %.0f s" % (time.time() - t_start))
    except Exception as trouble:
        say("not compiled:", repr(trouble)[:300])
        run = net
    net.zero_grad(set_to_none=True)
per_pool = max(1, 2 * a.pool // B)  # steps a pool serves
it, t0, active, meant = 0, time.time(), 0, 0
budget = a.seconds - (0 if a.pause else t0 - t_start)  # what making ready took comes off
if state:
    it, t0, meant = state["it"], t0 - state["spent"], state.get("meant", 0)
last_saved = time.time()


def save():
    torch.save({k: (v.half() if v.is_floating_point() else v).cpu() for k, v in ema.state_dict().items()}, os.path.join(a.out, a.kind + ".pt"))


step_in_pool, order = per_pool, None
log = open(os.path.join(a.out, "log_%s.txt" % a.kind), "a" if state else "w") if rank == 0 else None
stop = torch.zeros(1, device=dev)


def fetch():
    """The next batch, drawn on the side stream while the network works."""
    global active, step_in_pool, order
    if step_in_pool >= per_pool:
        if order is not None:
            active ^= 1
        order = torch.cat([torch.randperm(a.pool, device=dev) for _ in range(2)]).to(torch.int32)
        step_in_pool = 0
    if step_in_pool == 1:  # the other pool is free now: batches painted from it lie before this one in the stream
        drawer.make(active ^ 1, side)
    which = order[step_in_pool * B:(step_in_pool + 1) * B].contiguous()
    step_in_pool += 1
    l = split_labels(drawer.labels[active])
    idx = which.long()
    w = windows_for({k: v[idx] for k, v in l.items()})
    image = drawer.paint(active, which, w, side)
    with torch.no_grad():
        return one_batch(l, idx, image, w)


def fetch_smoke():
    global step_in_pool
    scene = {}
    def win(l):
        lt = {k: torch.from_numpy(np.ascontiguousarray(v)) for k, v in l.items()}
        scene["l"], scene["w"] = lt, windows_for(lt)
        return scene["w"].numpy()
    im, _ = cpu.draw(1000 + it * B, B, 0 if BODYNET else 1, SIDE, win)
    return one_batch(scene["l"], torch.arange(B), torch.from_numpy(im), scene["w"])


def start_fetch():
    if smoke:
        return fetch_smoke()
    side.wait_stream(torch.cuda.current_stream())
    with torch.cuda.stream(side):
        return fetch()


nxt = start_fetch()
while True:
    if not smoke:
        torch.cuda.current_stream().wait_stream(side)
    x, pts, box, meta = nxt
    if not smoke:
        for t in [x, pts, box] + list(meta.values()):
            t.record_stream(torch.cuda.current_stream())
    spent = time.time() - t0
    frac = (it / 3.0) if smoke else spent / budget
    if rank == 0 and time.time() - last_saved > 100:
        save()
        last_saved = time.time()
    pausing = a.pause > 0 and time.time() - t_start > a.pause
    if world > 1 and it % 10 == 0:
        stop.fill_(1.0 if frac >= 1 or pausing else 0.0)
        dist.broadcast(stop, 0)
        if stop.item() > 0:
            break
    elif world == 1 and (frac >= 1 or pausing):
        break
    nxt = start_fetch()
    rate = a.rate * min(1, (it + 1) / 300) * (1 if a.mean else 0.5 + 0.5 * math.cos(math.pi * min(frac, 1))) + 1e-6
    for g in opt.param_groups:
        g["lr"] = rate
    sigma = 1.5 if frac < 0.4 and not a.init else 1.2
    x = x.contiguous(memory_format=torch.channels_last)
    with torch.autocast("cpu" if smoke else "cuda", torch.bfloat16, enabled=not smoke):
        out, aux, *limbs = run(x)
    loss, logp = loss_of(out, aux, pts, box, meta, sigma)
    if limbs:
        loss = loss + 0.1 * limb_loss(limbs[0], pts, meta)
    opt.zero_grad(set_to_none=True)
    loss.backward()
    if world > 1:
        flat = torch.cat([p.grad.flatten() for p in net.parameters()])
        dist.all_reduce(flat)
        flat /= world
        at = 0
        for p in net.parameters():
            p.grad.copy_(flat[at:at + p.numel()].view_as(p))
            at += p.numel()
    torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
    opt.step()
    with torch.no_grad():
        d = min(0.9993, (1 + it) / (20 + it))
        if a.mean and frac > a.mean:
            d = meant / (1 + meant)
            meant += 1
        for e, p in zip(ema.parameters(), net.parameters()):
            e.lerp_(p, 1 - d) if smoke else None
        if not smoke:
            torch._foreach_lerp_(list(ema.parameters()), list(net.parameters()), 1 - d)
        for e, p in zip(ema.buffers(), net.buffers()):
            e.lerp_(p, 1 - d) if a.mean and e.is_floating_point() else e.copy_(p)
    if rank == 0 and (it % 200 == 0 or smoke):
        with torch.no_grad():
            am = logp.argmax(2)
            at = torch.stack([am % MAPS, am // MAPS], -1).float() * 4 + 2
            err = (at - pts[..., :2]).norm(dim=-1) / SIDE * 100
            ok = (pts[..., 2] > 0.5) & (meta["main"][:, None] > 0.5 if BODYNET else torch.ones_like(pts[..., 2]).bool())
            line = "step %d %.0f s rate %.1e loss %.3f own pictures: median %.2f %% of the side, within 5: %.3f" % (
                it, spent, rate, loss.item(), err[ok].median().item(), (err[ok] < 5).float().mean().item())
        say(line)
        log.write(line + "\n")
        log.flush()
        if it == 0 and cv2 is not None:
            n = min(32, B)
            sheet = x[:n].float().cpu().contiguous().numpy().transpose(0, 2, 3, 1)
            cols = min(8, n)
            rows = n // cols
            sheet = sheet[:rows * cols].reshape(rows, cols, SIDE, SIDE, 3).transpose(0, 2, 1, 3, 4).reshape(rows * SIDE, cols * SIDE, 3)
            cv2.imwrite(os.path.join(a.out, "seen_%s.jpg" % a.kind), np.ascontiguousarray((sheet[..., ::-1] * 255).astype(np.uint8)), [cv2.IMWRITE_JPEG_QUALITY, 80])
    it += 1

if rank == 0:
    save()
    if a.pause:
        torch.save({"net": net.state_dict(), "ema": ema.state_dict(), "opt": opt.state_dict(), "it": it, "meant": meant, "spent": time.time() - t0,
                    "made": 0 if smoke else drawer.made}, state_path)
    say("%d steps, %d pictures, %.0f s in all" % (it, it * B * world, time.time() - t_start))
if world > 1:
    dist.destroy_process_group()
