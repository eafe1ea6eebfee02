"""Trains the refining network on a crop set of refine_data.py: joints at full resolution, on one CPU thread.
(Measured and not shipped, see MODEL_CARD.md.)

  python3 train_refine.py CROPS.npz OUT.pt --seconds 1800 --seed 5
  python3 train_refine.py CROPS.npz OUT.pt --score          errors of OUT.pt on another crop set
"""
import argparse, copy, math, time
import numpy as np
import torch, torch.nn.functional as F
import nets
from refine_data import CROP, EDGE, SPAN, KINDS

PERCENT = SPAN / CROP * 100  # of the figure, a crop pixel
CELL = 2.0                   # crop pixels a cell of the answer


def batch_of(z, index, r=None):
    """Inputs and the offsets in crop pixels from the crop's middle; with r, shifted and weathered at random."""
    images = torch.from_numpy(z["images"][index]).permute(0, 3, 1, 2).float() / 255
    maps = torch.from_numpy(z["maps"][index].astype(np.float32))
    off = torch.from_numpy(z["off"][index]).clone()
    n = len(index)
    sx = r.randint(0, 3, n) if r else np.ones(n, int)
    sy = r.randint(0, 3, n) if r else np.ones(n, int)
    images = torch.stack([images[i, :, 4 * sy[i]:4 * sy[i] + CROP, 4 * sx[i]:4 * sx[i] + CROP] for i in range(n)])
    maps = torch.stack([maps[i, :, sy[i]:sy[i] + CROP // 4, sx[i]:sx[i] + CROP // 4] for i in range(n)])
    off -= 4.0 * torch.from_numpy(np.stack([sx - 1, sy - 1], 1)).float()
    cues = torch.from_numpy(z["cues"][index]).clone()
    if r:
        cues[:, :6] += torch.from_numpy(r.normal(0, 0.01, (n, 6))).float()
        c = torch.from_numpy((r.rand(n, 1, 1, 1) < 0.4).astype(np.float32))
        g = lambda lo, hi, *s: torch.from_numpy(r.uniform(lo, hi, (n,) + s).astype(np.float32))
        images = (images - 0.5) * (1 + c * g(-0.5, 0.3, 1, 1, 1)) + 0.5 + c * g(-0.2, 0.2, 1, 1, 1)
        images = images * (1 + c * g(-0.2, 0.2, 3, 1, 1))
        k = r.rand(n) < 0.2
        if k.any():
            images[k] = F.avg_pool2d(F.pad(images[k], (1, 1, 1, 1), mode="replicate"), 3, 1)
        k = r.rand(n) < 0.08
        images[k] = images[k].mean(1, keepdim=True).expand(-1, 3, -1, -1)
        k = r.rand(n) < 0.03
        images[k] = 1 - images[k]
        images = images.clamp(0, 1)
    kinds = F.one_hot(torch.from_numpy(z["kind"][index].astype(np.int64)), len(KINDS)).float()
    planes = torch.cat([kinds, cues], 1)[:, :, None, None].expand(-1, -1, CROP // 4, CROP // 4)
    return images, torch.cat([(maps + 1e-4).log() / 4 + 1, planes], 1), off


def loss_of(logits, off, sigma):
    side = CROP / CELL
    at = off / CELL + side / 2 - 0.5
    grid = torch.arange(side)
    t = torch.exp(-((grid - at[:, :1]) ** 2) / (2 * sigma ** 2))[:, None, :] * torch.exp(-((grid - at[:, 1:]) ** 2) / (2 * sigma ** 2))[:, :, None]
    w = ((at > 0.5) & (at < side - 1.5)).all(1).float()  # what lies outside cannot be found here
    t = t / (t.sum((1, 2), keepdim=True) + 1e-6)
    ce = -(t.flatten(1) * F.log_softmax(logits.flatten(1), 1)).sum(1)
    return (ce * w).sum() / (w.sum() + 1e-3)


def read(logits, reach=4):
    """Mean of the belief about its peak, in crop pixels from the middle; the belief there; its sd per axis in crop pixels."""
    p = torch.softmax(logits.flatten(1), 1).reshape(logits.shape[0], logits.shape[-2], logits.shape[-1])
    n, h, w = p.shape
    best = p.flatten(1).argmax(1)
    y, x = best // w, best % w
    gy, gx = torch.meshgrid(torch.arange(h), torch.arange(w), indexing="ij")
    near = ((gy[None] - y[:, None, None]).abs() <= reach) & ((gx[None] - x[:, None, None]).abs() <= reach)
    q = p * near
    m = q.sum((1, 2))
    mx, my = (q * gx).sum((1, 2)) / m, (q * gy).sum((1, 2)) / m
    var = ((q * (gx ** 2 + gy ** 2)).sum((1, 2)) / m - mx ** 2 - my ** 2).clamp(min=0) / 2
    return torch.stack([(mx + 0.5) * CELL - CROP / 2, (my + 0.5) * CELL - CROP / 2], 1), m, var.sqrt() * CELL


def answers(net, z):
    at, mass, sd = [], [], []
    with torch.no_grad():
        for i in range(0, len(z["kind"]), 256):
            images, hints, _ = batch_of(z, np.arange(i, min(i + 256, len(z["kind"]))))
            a = read(net(images, hints)[:, 0])
            at.append(a[0]), mass.append(a[1]), sd.append(a[2])
    return torch.cat(at).numpy(), torch.cat(mass).numpy(), torch.cat(sd).numpy()


def line(e):
    return "median %.2f  90th %.1f  within 1: %.0f  within 5: %.0f" % (np.median(e), np.percentile(e, 90), 100 * (e < 1).mean(), 100 * (e < 5).mean())


def score(net, z):
    net.eval()
    at, _, _ = answers(net, z)
    before, after = np.linalg.norm(z["off"], axis=1) * PERCENT, np.linalg.norm(z["off"] - at, axis=1) * PERCENT
    print("%d crops, per cent of the figure\n  body network alone  %s\n  refined             %s" % (len(after), line(before), line(after)))
    for k, name in enumerate(KINDS):
        m = z["kind"] == k
        print("  %-9s %s -> %s" % (name, line(before[m]), line(after[m])))
    return before, after


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("crops")
    ap.add_argument("out")
    ap.add_argument("--seconds", type=float, default=1800)
    ap.add_argument("--seed", type=int, default=5)
    ap.add_argument("--batch", type=int, default=96)
    ap.add_argument("--rate", type=float, default=4e-3)
    ap.add_argument("--score", action="store_true")
    a = ap.parse_args()
    torch.set_num_threads(1)
    torch.manual_seed(a.seed)
    z = dict(np.load(a.crops))
    net = nets.make("joints")
    if a.score:
        net.load_state_dict({k: v.float() if v.is_floating_point() else v for k, v in torch.load(a.out).items()})
        score(net, z)
        return
    r = np.random.RandomState(a.seed)
    held = z["scene"] >= int(z["scene"].max() * 0.95)  # scenes of their own
    train = np.where(~held)[0]
    check = {k: v[held] for k, v in z.items() if k not in ("seed",)}
    print("%.1f k parameters, %d crops, %d held out" % (sum(p.numel() for p in net.parameters()) / 1e3, len(train), held.sum()), flush=True)
    decay = [p for p in net.parameters() if p.dim() > 1]
    plain = [p for p in net.parameters() if p.dim() <= 1]
    opt = torch.optim.AdamW([{"params": decay, "weight_decay": 0.02}, {"params": plain, "weight_decay": 0}], lr=a.rate)
    mean = copy.deepcopy(net)
    t, it, said = time.time(), 0, 0
    order = iter(())
    while time.time() - t < a.seconds:
        index = np.sort(np.fromiter(order, int, a.batch)) if hasattr(order, "__length_hint__") and order.__length_hint__() >= a.batch else None
        if index is None:
            order = iter(r.permutation(train).tolist())
            index = np.sort(np.fromiter(order, int, min(a.batch, len(train))))
        f = (time.time() - t) / a.seconds
        for g in opt.param_groups:
            g["lr"] = a.rate * min(1, (it + 1) / 100) * (0.5 + 0.5 * math.cos(math.pi * f)) + 1e-6
        net.train()
        images, hints, off = batch_of(z, index, r)
        loss = loss_of(net(images, hints)[:, 0], off, 1.4)
        opt.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(net.parameters(), 2.0)
        opt.step()
        d = min(0.998, (1 + it) / (20 + it))
        with torch.no_grad():
            for e, p in zip(mean.parameters(), net.parameters()):
                e.lerp_(p, 1 - d)
            for e, p in zip(mean.buffers(), net.buffers()):
                e.copy_(p)
        it += 1
        if time.time() - t - said > 120:
            said = time.time() - t
            mean.eval()
            at, _, _ = answers(mean, {k: v[:1000] for k, v in check.items()})
            print("step %d, %.0f s, loss %.3f, held out: %s" % (it, said, loss.item(), line(np.linalg.norm(check["off"][:1000] - at, axis=1) * PERCENT)), flush=True)
            torch.save({k: v.half() if v.is_floating_point() else v for k, v in mean.state_dict().items()}, a.out)
    torch.save({k: v.half() if v.is_floating_point() else v for k, v in mean.state_dict().items()}, a.out)
    print("%d steps, %d crops seen" % (it, it * a.batch))
    score(mean, check)


if __name__ == "__main__":
    main()
