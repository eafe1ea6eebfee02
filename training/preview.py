"""A sheet of random drawings with their points: python3 preview.py SEED [body|head] [OUT.png]"""
import sys, time
import numpy as np, cv2
from drawer_cpu import Drawer


def head_window(labels, side):
    """Crop about crown and chin, as the head network sees it."""
    h = labels["head"]
    c, s = (h[:, 0, :2] + h[:, 1, :2]) / 2, np.linalg.norm(h[:, 0, :2] - h[:, 1, :2], axis=1) * 1.5 + 1
    u = s / side
    return np.stack([c[:, 0] - s / 2, c[:, 1] - s / 2, u, 0 * u], 1)


def sheet(seed, kind, rows=4, cols=8, side=256, dots=True):
    d, t = Drawer(), time.time()
    n = rows * cols
    w = {}
    if kind == "head":
        def windows(l):
            w["w"] = head_window(l, side)
            return w["w"]
        image, l = d.draw(seed, n, 1, side, windows)
        pts = l["head"].copy()
        pts[..., :2] = (pts[..., :2] - w["w"][:, None, :2]) / w["w"][:, None, 2:3]
    else:
        image, l = d.draw(seed, n, 0, side)
        pts = l["body"].copy()
        pts[..., :2] *= side / 256
    print("%.1f ms a picture, at most %d shapes %d primitives" % ((time.time() - t) * 1000 / n, max(a for a, b in d.counts), max(b for a, b in d.counts)))
    out = np.zeros((rows * side, cols * side, 3), np.uint8)
    for i in range(n):
        im = np.ascontiguousarray((np.clip(image[i][::-1], 0, 1) * 255).astype(np.uint8).transpose(1, 2, 0))
        for j, (x, y, v) in enumerate(pts[i] if dots else []):
            if v > 0:
                c = (0, 180, 0) if j < 3 else ((0, 0, 255) if j % 2 else (255, 0, 0))
                cv2.circle(im, (int(x), int(y)), 2, c, -1)
        if kind != "head" and dots:
            for cx, cy, hw, hh, v in l["box"][i] * side / 256:
                if v > 0:
                    cv2.rectangle(im, (int(cx - hw), int(cy - hh)), (int(cx + hw), int(cy + hh)), (0, 200, 255), 1)
        out[i // cols * side:(i // cols + 1) * side, i % cols * side:(i % cols + 1) * side] = im
    return out


if __name__ == "__main__":
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 0
    kind = sys.argv[2] if len(sys.argv) > 2 else "body"
    cv2.imwrite(sys.argv[3] if len(sys.argv) > 3 else "preview.png", sheet(seed, kind))
