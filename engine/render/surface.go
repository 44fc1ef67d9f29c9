package render

import (
	"math"

	"hardnoon/engine/scene"
)

// A reflector is a material at one point, seen from one direction: a matt base
// under a clear coat of GGX facets.
//
//	f = ρ/π · g(i) g(o) + F D G/(4 cos i cos o),  g(c) = (1 − F(c))/(1 − F₀) = 1 − (1−c)⁵
//
// g takes from the base what the coat sends back before it gets there; it is 1
// at normal incidence, so that ρ is what a reflectance meter reads, and it
// treats both directions alike. Without a coat the surface is Lambert's.
//
// Sources: [Walter2007] GGX, [Heitz2014] masking, [Heitz2018] and [Dupuy2023] visible
// facets,
// [Schlick1994] Fresnel; the coupling is our own.
type reflector struct {
	n       scene.Vec32 // smooth normal
	out     scene.Vec32 // towards where the ray came from
	cosOut  float32
	diffuse scene.RGB
	f0, a   float32
	gOut    float32
	gloss   float32 // share of rays that go to the coat
	t, b    scene.Vec32
}

func (r *reflector) set(m *scene.Material, diffuse scene.RGB, n, out scene.Vec32) {
	r.n, r.out, r.diffuse = n, out, diffuse
	r.cosOut = max(n.Dot(out), 1e-4)
	r.f0, r.gloss, r.gOut = float32(m.Coat), 0, 1
	r.t, r.b = scene.Basis32(n)
	if r.f0 == 0 {
		return
	}
	r.a = float32(m.Roughness)
	p := fifth(1 - r.cosOut)
	r.gOut = 1 - p
	f := r.f0 + (1-r.f0)*p
	r.gloss = min(max(f/(f+r.diffuse.Y()*r.gOut+1e-6), 0.1), 0.9)
}

// dull makes the surface matt, sending back about as much. What is seen by way
// of something else is taken so: a glint there is one bright pixel in a
// thousand, never settled, and of light that matters it carries little.
//
// Source: the idea of [Kaplanyan2013], taken to its end.
func (r *reflector) dull() {
	white := scene.RGB{R: 1, G: 1, B: 1}
	r.diffuse = r.diffuse.Scale(1 - r.f0).Add(white.Scale(r.f0))
	r.f0, r.gloss, r.gOut = 0, 0, 1
}

func fifth(x float32) float32 { x2 := x * x; return x2 * x2 * x }

// smith returns Λ of the facets for a direction at cosine c.
func (r *reflector) smith(c float32) float32 {
	c2 := c * c
	return 0.5 * (scene.Sqrt32(1+r.a*r.a*(1-c2)/c2) - 1)
}

// to returns what is sent on from direction in, and the density with which
// choose would have chosen it.
func (r *reflector) to(in scene.Vec32) (f scene.RGB, density float32) {
	c := r.n.Dot(in)
	if c <= 0 {
		return
	}
	if r.f0 == 0 {
		return r.diffuse.Scale(1 / math.Pi), c * (1 / math.Pi)
	}
	f = r.diffuse.Scale((1 - fifth(1-c)) * r.gOut / math.Pi)
	h := in.Add(r.out).Unit()
	nh, oh := r.n.Dot(h), r.out.Dot(h)
	if nh <= 0 || oh <= 0 {
		return f, (1 - r.gloss) * c * (1 / math.Pi)
	}
	a2 := r.a * r.a
	q := nh*nh*(a2-1) + 1
	d := a2 / (math.Pi * q * q)
	lo, li := r.smith(r.cosOut), r.smith(max(c, 1e-4))
	fresnel := r.f0 + (1-r.f0)*fifth(1-oh)
	s := fresnel * d / (4 * c * r.cosOut * (1 + lo + li))
	density = (1-r.gloss)*c*(1/math.Pi) + r.gloss*d/(4*r.cosOut*(1+lo))
	return f.Add(scene.RGB{R: s, G: s, B: s}), density
}

// choose returns a direction to look for light in.
func (r *reflector) choose(u, v, lobe float32) scene.Vec32 {
	if lobe < r.gloss {
		// A facet among those visible from out, then the mirror.
		ox, oy := r.out.Dot(r.t), r.out.Dot(r.b)
		w := scene.Vec32{X: r.a * ox, Y: r.a * oy, Z: r.cosOut}.Unit()
		sin, cos := scene.SinCosTurn(u)
		z := (1-v)*(1+w.Z) - w.Z
		s := scene.Sqrt32(max(0, 1-z*z))
		h := scene.Vec32{X: s*cos + w.X, Y: s*sin + w.Y, Z: z + w.Z}
		h = scene.Vec32{X: r.a * h.X, Y: r.a * h.Y, Z: max(h.Z, 1e-6)}.Unit()
		n := r.t.Scale(h.X).Add(r.b.Scale(h.Y)).Add(r.n.Scale(h.Z))
		return n.Scale(2 * r.out.Dot(n)).Sub(r.out)
	}
	x, y := scene.DiscPoint(u, v)
	z := scene.Sqrt32(max(0, 1-x*x-y*y))
	return r.t.Scale(x).Add(r.b.Scale(y)).Add(r.n.Scale(z))
}
