"""Mean of two rounds' weights of one network (the second went on from the first): python3 average.py A.pt B.pt OUT.pt"""
import sys
import torch

a, b = (torch.load(p, map_location="cpu") for p in sys.argv[1:3])
torch.save({k: ((a[k].float() + b[k].float()) / 2).half() if a[k].is_floating_point() else b[k] for k in a}, sys.argv[3])
