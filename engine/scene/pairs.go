package scene

// walkPairs shortens h to what the ray meets first before it, or to anything it
// meets. It keeps everything in one function, because half the time of a picture
// is spent in the two boxes at its heart.
func (s *Scene) walkPairs(o, d Vec32, time float32, h *Hit, any bool) {
	nodes := s.nodes
	if len(nodes) == 0 {
		return
	}
	inv := inverse(d)
	wx, wy, wz := abs32(inv.X), abs32(inv.Y), abs32(inv.Z)
	ox, oy, oz := o.X*inv.X, o.Y*inv.Y, o.Z*inv.Z
	most := h.T
	var stack [64]int32
	top := 0
	n := &nodes[0]
	for {
		if n.count > 0 {
			for i := n.first; i < n.first+n.count; i++ {
				e := &s.entries[i]
				var t, u, v float32
				if e.ref >= 0 {
					t, u, v = e.meet(o, d)
				} else {
					t = s.meetShape(e, o, d, most, time)
				}
				if t < most {
					most = t
					*h = Hit{t, u, v, i}
					if any {
						return
					}
				}
			}
		} else {
			// A ray is in a box between the last of the three planes it enters by and
			// the first of those it leaves by. Negated, for min is cheaper than max.
			pair := nodes[n.first : n.first+2 : n.first+2]
			a, b := &pair[0], &pair[1]
			mx, my, mz := a.mid.X*inv.X-ox, a.mid.Y*inv.Y-oy, a.mid.Z*inv.Z-oz
			hx, hy, hz := a.half.X*wx, a.half.Y*wy, a.half.Z*wz
			outA, inA := least(hx+mx, hy+my, hz+mz), -least(hx-mx, hy-my, hz-mz)
			mx, my, mz = b.mid.X*inv.X-ox, b.mid.Y*inv.Y-oy, b.mid.Z*inv.Z-oz
			hx, hy, hz = b.half.X*wx, b.half.Y*wy, b.half.Z*wz
			outB, inB := least(hx+mx, hy+my, hz+mz), -least(hx-mx, hy-my, hz-mz)
			hitA := outA >= inA && outA >= 0 && inA < most
			hitB := outB >= inB && outB >= 0 && inB < most
			if hitA && hitB {
				if inA <= inB {
					stack[top&63] = n.first + 1
					n = a
				} else {
					stack[top&63] = n.first
					n = b
				}
				top++
				continue
			}
			if hitA {
				n = a
				continue
			}
			if hitB {
				n = b
				continue
			}
		}
		if top == 0 {
			return
		}
		top--
		n = &nodes[stack[top&63]]
	}
}
