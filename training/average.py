"""Mean of two rounds' weights of one network (the second went on from the first): python3 average.py A.pt B.pt OUT.pt [SHARE_OF_B]"""
import sys
import torch

a, b = (torch.load(p, map_location="cpu") for p in sys.argv[1:3])
share = float(sys.argv[4]) if len(sys.argv) > 4 else 0.5
torch.save({k: ((1 - share) * a[k].float() + share * b[k].float()).half() if a[k].is_floating_point() else b[k] for k in a}, sys.argv[3])
