"""Scores trained networks on drawn pictures with hand-placed marks (never used for training).

  python3 evaluate.py PICTURES [--body body.pt] [--head head.pt] [--sheet OUT.jpg]

PICTURES holds b*.png and h*.png, each with a marks file. Errors are per cent of the longer side of the box of a figure's
marks; on heads per cent of the distance from crown to chin.
"""
import argparse, glob, json, os, sys
import numpy as np, cv2, torch
import nets

BN, HN = nets.BODY, nets.HEAD


def load(folder, prefix):
    out = []
    for f in sorted(glob.glob(os.path.join(folder, prefix + "*.png"))):
        m = json.load(open(f[:-4] + ".marks.json"))["figures"][0]
        out.append(dict(name=os.path.basename(f), im=cv2.imread(f, cv2.IMREAD_COLOR), points={k: np.array(v[:2], float) for k, v in m["points"].items()}))
    return out


def letterbox(im, pad, side):
    h, w = im.shape[:2]
    s = side * (1 - 2 * pad) / max(h, w)
    m = np.float32([[s, 0, (side - w * s) / 2], [0, s, (side - h * s) / 2]])
    if 1 / s > 1.5:
        im = cv2.GaussianBlur(im, (0, 0), 0.4 / s)
    return cv2.warpAffine(im, m, (side, side), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=(255, 255, 255)), m


def runner(path, kind):
    net = nets.make(kind)
    net.load_state_dict({k: v.float() if v.is_floating_point() else v for k, v in torch.load(path, map_location="cpu").items()})
    net.eval()

    def fn(x):
        with torch.no_grad():
            m, a = net(torch.from_numpy(np.ascontiguousarray(x)))[:2]
        return m.numpy(), a.numpy()
    return fn


def softmax(l):
    e = np.exp(l - l.max((1, 2), keepdims=True))
    return e / e.sum((1, 2), keepdims=True)


def both_ways(fn, x, mirror):
    """Maps (logits) and aux, averaged over the picture and its mirror image. x: [3, side, side]."""
    m, a = fn(np.stack([x, x[:, :, ::-1]]))
    n = len(mirror)
    m1 = m[1][:, :, ::-1].copy()
    m1[:n] = m1[mirror]
    a1 = a[1].copy()
    a1[:n] = a1[mirror]
    return (m[0] + m1) / 2, (a[0] + a1) / 2


def around(p, y, x, r=2):
    y0, y1, x0, x1 = max(0, y - r), min(p.shape[0], y + r + 1), max(0, x - r), min(p.shape[1], x + r + 1)
    q = p[y0:y1, x0:x1]
    yy, xx = np.mgrid[y0:y1, x0:x1]
    return q.sum(), np.array([(q * xx).sum(), (q * yy).sum()]) / q.sum() * 4 + 2


def peaks(p, n=2):
    p, o = p.copy(), []
    for _ in range(n):
        y, x = np.unravel_index(p.argmax(), p.shape)
        o.append(around(p, y, x))
        p[max(0, y - 4):y + 5, max(0, x - 4):x + 5] = 0
    return o


def decode(P):
    out, conf = np.zeros((len(P), 2)), np.zeros(len(P))
    for i in range(3):
        conf[i], out[i] = peaks(P[i], 1)[0]
    for i in range(3, 19, 2):
        best = None
        for va, qa in peaks(P[i]):
            for vb, qb in peaks(P[i + 1]):
                s = np.log(va + 1e-3) + np.log(vb + 1e-3) - 1.2 * np.exp(-((qa - qb) ** 2).sum() / 72)
                if best is None or s > best[0]:
                    best = (s, qa, qb, va, vb)
        _, out[i], out[i + 1], conf[i], conf[i + 1] = best
    return out, conf


def propose_body(fn, im, pads=(0.0, 0.05)):
    P = 0
    for pad in pads:
        x, _ = letterbox(im, pad, 256)
        l, aux = both_ways(fn, x[:, :, ::-1].astype(np.float32).transpose(2, 0, 1) / 255, nets.BODY_MIRROR)
        p = softmax(l[:19])
        if pad > 0:
            k = 1 - 2 * pad
            m = np.float32([[k, 0, 31.5 * (1 - k)], [0, k, 31.5 * (1 - k)]])
            p = np.stack([cv2.warpAffine(q, m, (64, 64), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP) for q in p])
        P = P + p / len(pads)
    o, c = decode(P)
    inv = cv2.invertAffineTransform(letterbox(im, 0, 256)[1])
    centre = 1 / (1 + np.exp(-l[19]))
    return o @ inv[:, :2].T + inv[:, 2], c, centre.max()


def propose_head(fn, im, crown, chin, side=160):
    """Points of the head whose crown and chin are about here."""
    c, h = (crown + chin) / 2, np.linalg.norm(crown - chin)
    up = (crown - chin) / h
    t = np.arctan2(up[0], -up[1])
    t = t if abs(t) > 0.25 else 0.0
    u = h * 1.6 / side
    a = np.float32([[u * np.cos(t), -u * np.sin(t), 0], [u * np.sin(t), u * np.cos(t), 0]])
    a[:, 2] = c - a[:, :2] @ [side / 2, side / 2]
    src = cv2.GaussianBlur(im, (0, 0), 0.4 * u) if u > 1.5 else im
    x = cv2.warpAffine(src, a, (side, side), flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_CONSTANT, borderValue=(255, 255, 255))
    l, aux = both_ways(fn, x[:, :, ::-1].astype(np.float32).transpose(2, 0, 1) / 255, nets.HEAD_MIRROR)
    P = softmax(l)
    o = np.array([peaks(p, 1)[0][1] for p in P])
    return o @ a[:, :2].T + a[:, 2], 1 / (1 + np.exp(-aux)), np.array([peaks(p, 1)[0][0] for p in P])


def line(e):
    return "n %d median %.2f p90 %.1f within 5: %.0f within 10: %.0f" % (len(e), np.median(e), np.percentile(e, 90), 100 * (e < 5).mean(), 100 * (e < 10).mean())


def score_body(items, fn, pads, verbose=True):
    E, S, per, rows, C, moved, swapped = [], [], {}, [], [], [], []
    for it in items:
        p, c, centre = propose_body(fn, it["im"], pads)
        it["pred"], it["conf"] = p, c
        g = np.array([it["points"].get(n, (np.nan, np.nan)) for n in BN], float)
        ok = ~np.isnan(g[:, 0])
        size = (np.nanmax(g, 0) - np.nanmin(g, 0)).max()
        e = np.linalg.norm(p - g, axis=1) / size * 100
        es = np.linalg.norm(p[nets.BODY_MIRROR] - g, axis=1) / size * 100
        legs = list(range(11, 19))
        arms = list(range(3, 11))
        best = e.copy()
        sw = False
        for part in (arms, legs):
            if np.nansum(np.minimum(es[part], 30)) + 8 < np.nansum(np.minimum(e[part], 30)):
                best[part] = es[part]
                sw = True
        swapped.append(sw)
        E.append(e[ok]); S.append(best[ok]); C.append(c[ok])
        moved.append((e[ok] > 3).sum())
        for i in range(19):
            if ok[i]:
                per.setdefault(BN[i].replace("_l", "").replace("_r", "") if i > 2 else BN[i], []).append(e[i])
        rows.append("  %-38s median %5.1f  sides forgiven %5.1f  within 5: %.2f  figure %.2f%s" % (it["name"], np.median(e[ok]), np.median(best[ok]), (e[ok] < 5).mean(), centre, " SWAPPED" if sw else ""))
    e, s, c = np.concatenate(E), np.concatenate(S), np.concatenate(C)
    print("body", pads, line(e), "| sides forgiven", line(s), "| sides right on %.0f %%" % (100 * (1 - np.mean(swapped))), "| to move, median", np.median(moved))
    if verbose:
        for t in (0.3, 0.5, 0.7):
            k = c >= t
            print("  confidence >= %.1f: share %.2f within 5: %.0f" % (t, k.mean(), 100 * (e[k] < 5).mean()))
        for n, v in per.items():
            print("  %-10s %s" % (n, line(np.array(v))))
        print("\n".join(rows))


def score_head(items, head, body):
    for how in (["marked crown and chin"] + (["found crown and chin"] if body else [])):
        E, per, rows = [], {}, []
        for it in items:
            g = it["points"]
            marked = "crown" in g and "chin" in g
            if how.startswith("found") or not marked:
                if not body:
                    continue
                p, _, _ = propose_body(body, it["im"])
                crown, chin = p[0], p[1]
            else:
                crown, chin = g["crown"], g["chin"]
            q, seen, conf = propose_head(head, it["im"], crown, chin)
            h = np.linalg.norm(g["crown"] - g["chin"]) if marked else np.linalg.norm(crown - chin)
            e = {n: np.linalg.norm(q[i] - g[n]) / h * 100 for i, n in enumerate(HN) if n in g}
            E += list(e.values())
            for n, v in e.items():
                per.setdefault(n.replace("_l", "").replace("_r", ""), []).append(v)
            rows.append("  %-38s median %5.1f" % (it["name"], np.median(list(e.values()))))
            it["head"] = q
        print("head,", how, line(np.array(E)))
        for n, v in per.items():
            print("  %-12s %s" % (n, line(np.array(v))))
        print("\n".join(rows))


BONES = [(0, 1), (1, 2), (2, 3), (2, 4), (3, 5), (4, 6), (5, 7), (6, 8), (7, 9), (8, 10), (3, 11), (4, 12), (11, 12), (11, 13), (12, 14), (13, 15), (14, 16), (15, 17), (16, 18)]


def sheet(items, path, T=300, cols=8):
    rows = (len(items) + cols - 1) // cols
    out = np.full((rows * T, cols * T, 3), 255, np.uint8)
    for k, it in enumerate(items):
        im, m = letterbox(it["im"], 0, T)
        im = (im * 0.5 + 127).astype(np.uint8)
        put = lambda p: tuple(int(v) for v in m[:, :2] @ p + m[:, 2])
        colour = lambda n: (0, 0, 230) if "_l" in n else (230, 0, 0) if "_r" in n else (0, 160, 0)
        if "pred" in it:
            for i, j in BONES:
                cv2.line(im, put(it["pred"][i]), put(it["pred"][j]), colour(BN[j]), 1, cv2.LINE_AA)
            for i, n in enumerate(BN):
                cv2.circle(im, put(it["pred"][i]), 2, colour(n), -1)
                if n in it["points"]:
                    cv2.circle(im, put(it["points"][n]), 3, colour(n), 1, cv2.LINE_AA)
        if "head" in it:
            for i, n in enumerate(HN):
                cv2.circle(im, put(it["head"][i]), 2, colour(n), -1)
                if n in it["points"]:
                    cv2.circle(im, put(it["points"][n]), 4, colour(n), 1, cv2.LINE_AA)
        out[k // cols * T:k // cols * T + T, k % cols * T:k % cols * T + T] = im
    cv2.imwrite(path, out, [cv2.IMWRITE_JPEG_QUALITY, 85])


if __name__ == "__main__":
    ap = argparse.ArgumentParser()
    ap.add_argument("pictures")
    ap.add_argument("--body", default="")
    ap.add_argument("--head", default="")
    ap.add_argument("--sheet", default="")
    a = ap.parse_args()
    items = load(a.pictures, "b") if a.body else []
    if a.body:
        fn = runner(a.body, "body")
        score_body(items, fn, (0.0,), False)
        score_body(items, fn, (0.0, 0.05), True)
    if a.head:
        heads = load(a.pictures, "h")
        score_head(heads, runner(a.head, "head"), runner(a.body, "body") if a.body else None)
        items = items + heads
    if a.sheet:
        sheet(items, a.sheet)
