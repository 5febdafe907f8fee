"""Units and names, once for the package: CIELAB is D65/2 degrees; XYZ has Y = 1 for white; LRV is 0..100.

Linear RGB is 0..1 (IEC 61966-2-1 primaries); hue angles are degrees in [0, 360); colours are arrays of shape
``(..., 3)``, images ``(H, W, 3)``. A name says so where it departs from this (``lab_d50``). Spaces, differences,
LRV and adaptation keep the input's dtype: float32 in, float32 out.
"""
