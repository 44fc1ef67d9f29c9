package render

import "math/bits"

// A sampler gives pairs of numbers that fill the unit square evenly as samples
// of one pixel follow each other: the first two dimensions of Sobol's sequence,
// scrambled and reordered by a hash for each pixel and each use. What it returns
// depends on pixel, sample and use alone, so a picture does not depend on who
// computes which part of it.
//
// Source: [Burley2020], hash-based Owen scrambling with padding.
type sampler struct {
	seed   uint32
	mirror uint32 // sample number, bits reversed
}

func newSampler(seed uint64, pixel, sample uint32) sampler {
	h := mix(uint32(seed)^mix(uint32(seed>>32))) ^ mix(pixel*0x9e3779b9+0x7f4a7c15)
	return sampler{mix(h), bits.Reverse32(sample)}
}

// pair returns two numbers in 0 ≤ x < 1 for one use.
func (s sampler) pair(use uint32) (u, v float32) {
	h := mix(s.seed + use*0x85ebca6b)
	i := bits.Reverse32(scramble(s.mirror, h))
	u = fraction(scramble(i, mix(h^0x68bc21eb)))
	v = fraction(scramble(secondSobol(i), mix(h^0x02e5be93)))
	return u, v
}

// secondSobol returns the second coordinate of point i with its bits reversed.
// Its matrix is Pascal's triangle modulo 2, which is a sum over supersets of bit
// positions and takes five steps.
func secondSobol(i uint32) uint32 {
	i ^= i >> 1 & 0x55555555
	i ^= i >> 2 & 0x33333333
	i ^= i >> 4 & 0x0f0f0f0f
	i ^= i >> 8 & 0x00ff00ff
	return i ^ i>>16
}

// scramble flips each bit by a hash of the bits below it.
func scramble(x, seed uint32) uint32 {
	x += seed
	x ^= x * 0x6c50b47c
	x ^= x * 0xb82f1e52
	x ^= x * 0xc7afe638
	x ^= x * 0x8d22f6e6
	return x
}

// fraction turns reversed bits into a number in 0 ≤ x < 1.
func fraction(mirrored uint32) float32 {
	return float32(bits.Reverse32(mirrored)>>8) * (1.0 / (1 << 24))
}

// mix is an integer hash with good avalanche. Source: from memory, the
// multiply-and-shift finishers in common use.
func mix(x uint32) uint32 {
	x ^= x >> 16
	x *= 0x7feb352d
	x ^= x >> 15
	x *= 0x846ca68b
	return x ^ x>>16
}
