"""Givens: paint for rooms where the worktop, floor, tile, stone and timber stay."""
