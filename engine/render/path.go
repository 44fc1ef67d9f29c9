package render

import (
	"math"

	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
)

// Layers of the film: sun, sky, each flash, and one for all steady lamps if there
// are any.
const (
	sunLayer   = 0
	skyLayer   = 1
	firstLight = 2
)

// layersOf returns how many layers a scene takes.
func layersOf(s *scene.Scene) int { return firstLight + min(s.Flashes()+1, len(s.Lights)) }

const (
	slightShare  = 0.05 // of half the sky's light: a fourteenth of a stop
	leastChance  = 0.1  // that a shadow ray to a slight light is followed
	asksAllBelow = 0.3  // noise, stops: a rougher picture asks one source at the second vertex
	lightsAtOnce = 4    // more than these and a point asks some of them, by chance
	mostVertices = 64   // a stop for white rooms; chance ends paths long before
	far          = float32(1e9)
)

// A tracer is what all goroutines share.
type tracer struct {
	s       *scene.Scene
	flashes int // the first so many lights of the scene
	sky     *skyMap
	eye     eye
	seed    uint64
	ambient float32 // seconds: how much an ambient lux counts beside a flash's lux-second
	sun     sunDisc
	twice   bool    // the second vertex asks every source too
	slight  float32 // lux-seconds: less from a flash is hardly seen beside the sky
}

// sunDisc is the sun as the tracer uses it.
type sunDisc struct {
	to, t, b    scene.Vec32
	sin, cos    float32
	illuminance scene.RGB // lx facing it
	luminance   scene.RGB
}

func newTracer(s *scene.Scene, o *Options) *tracer {
	t := &tracer{s: s, flashes: s.Flashes(), sky: newSkyMap(&s.Daylight), seed: o.Seed, eye: newEye(&s.Camera, o.Width, o.Height)}
	t.ambient = float32(o.Settings.Shutter)
	if t.sky != nil {
		t.slight = slightShare * t.ambient * t.sky.upper / 2
	}
	t.twice = o.Noise < asksAllBelow
	if d := &s.Daylight; d.SunIlluminance > 0 {
		e := d.SunColour.Scale(float32(d.SunIlluminance))
		sin := d.SunRadius.Sin()
		to := scene.To32(d.Sun)
		a, b := scene.Basis32(to)
		t.sun = sunDisc{to, a, b, float32(sin), float32(d.SunRadius.Cos()), e, e.Scale(float32(1 / (math.Pi * sin * sin)))}
	}
	return t
}

// A walker follows paths, one at a time, and keeps its own scratch.
type walker struct {
	*tracer
	rays   *scene.Tracer
	out    []scene.RGB // what the last path brought, by layer
	chance []float32   // by source, sun, sky, lights: how many directions the last vertex asked of it
	first  first
	mix    [1]scene.RGB
	time   float32 // of the path, 0 to 1 of the open shutter
	only   part
}

// A part of the layers. Where things move, daylight and flash see them at
// different times and get paths of their own.
type part int

const (
	everything part = iota
	daylight
	flashes
)

// first is what a path saw first; the denoiser wants it.
type first struct {
	albedo   scene.RGB
	normal   scene.Vec32
	distance float32
}

func newWalker(t *tracer) *walker {
	return &walker{tracer: t, rays: t.s.Tracer(), out: make([]scene.RGB, layersOf(t.s)), chance: make([]float32, firstLight+len(t.s.Lights))}
}

// layer returns where the light of light i goes.
func (t *tracer) layer(i int) int { return firstLight + min(i, t.flashes) }

// shines reports whether light i takes part in the paths that are followed now.
func (w *walker) shines(i int) bool {
	return w.only == everything || (w.only == flashes) == (i < w.flashes)
}

// seconds returns what light i is counted by beside a flash.
func (t *tracer) seconds(i int) float32 {
	if i < t.flashes {
		return 1
	}
	return t.ambient
}

// Uses of the sampler; each vertex has its own block.
const (
	usePixel = iota
	useLens
	useSun
	useSky
	useNext
	useLobe
	useLight  // and the following lightsAtOnce
	usesBlock = 16
	useTime   = useLight + 2*lightsAtOnce // in the first block only
)

// see follows what a sample needs and leaves its light in w.out: one path, or
// one for daylight and one for the flashes where things move.
func (w *walker) see(o, d scene.Vec32, smp sampler) {
	for i := range w.out {
		w.out[i] = scene.RGB{}
	}
	if !w.s.Moves() {
		w.follow(o, d, smp)
		return
	}
	early, late := smp.pair(useTime)
	w.only, w.time = daylight, early
	w.follow(o, d, smp)
	w.only, w.time = flashes, w.s.FlashAt+late*w.s.FlashSpan
	w.follow(o, d, smp)
}

// follow traces the path of ray o, d and adds its light to w.out.
//
// At each vertex light is asked for in two ways, by aiming at a source and by
// following the surface, and the two are weighed by the balance heuristic.
//
// Source: [Kajiya1986], [Veach1995].
func (w *walker) follow(o, d scene.Vec32, smp sampler) {
	through := scene.RGB{R: 1, G: 1, B: 1}
	density := float32(0) // with which d was chosen
	var r reflector
	for v := uint32(0); v < mostVertices; v++ {
		h, ok := w.rays.Trace(o, d, far, w.time)
		if !ok {
			w.escape(d, through, density, v == 0)
			return
		}
		f := w.s.Surface(o, d, h, w.time)
		if f.Light >= 0 {
			w.meetLight(&f, o, d, h.T, through, density, v == 0)
			return
		}
		m := w.s.Material(f.Material)
		albedo := mottled(m, f.At)
		if v == 0 {
			w.first = first{albedo, f.Shading, h.T}
		}
		r.set(m, albedo, f.Shading, d.Neg())
		if v > 0 {
			r.dull()
		}
		use := v * usesBlock
		if v == 0 || v == 1 && w.twice {
			w.askAll(&r, &f, through, smp, use)
		} else {
			w.askOne(&r, &f, through, smp, use)
		}

		// On to the next vertex.
		lobe, luck := smp.pair(use + useLobe)
		if v > 0 {
			// The root: what lies in deep shade lives by the paths that go on.
			q := min(scene.Sqrt32(through.Max()), 0.95)
			if luck >= q {
				return
			}
			through = through.Scale(1 / q)
		}
		a, b := smp.pair(use + useNext)
		next := r.choose(a, b, lobe)
		c := r.n.Dot(next)
		if c <= 1e-5 || f.Normal.Dot(next) <= 0 {
			return
		}
		if r.f0 == 0 {
			density = c * (1 / math.Pi)
			through = through.Mul(r.diffuse)
		} else {
			var send scene.RGB
			send, density = r.to(next)
			if density <= 0 {
				return
			}
			through = through.Mul(send.Scale(c / density))
		}
		if through.Max() <= 0 {
			return
		}
		o, d = f.Lifted, next
	}
}

// escape adds the sky a ray ends in.
func (w *walker) escape(d scene.Vec32, through scene.RGB, density float32, direct bool) {
	if direct {
		w.first = first{scene.RGB{R: 1, G: 1, B: 1}, scene.Vec32{}, far}
		if w.only == flashes {
			return
		}
		if w.sun.sin > 0 && d.Dot(w.sun.to) > w.sun.cos {
			w.out[sunLayer] = w.sun.luminance
		}
		w.out[skyLayer] = w.s.Daylight.Radiance(d.To64())
		return
	}
	if w.sky == nil || w.only == flashes {
		return
	}
	l, p := w.sky.toward(d)
	weight := density / (density + w.chance[skyLayer]*p)
	w.out[skyLayer] = w.out[skyLayer].Add(through.Mul(l).Scale(weight))
}

// meetLight adds the front of a light a ray ends in.
func (w *walker) meetLight(f *scene.Surface, o, d scene.Vec32, t float32, through scene.RGB, density float32, direct bool) {
	l := &w.s.Lights[f.Light]
	if direct {
		w.first = first{scene.RGB{R: 1, G: 1, B: 1}, f.Normal, t}
	}
	c := float32(1)
	if l.Outline != scene.Ball {
		c = -d.Dot(l.Axis())
	}
	radiance := l.Radiance(c, t)
	if radiance == 0 || !w.shines(int(f.Light)) {
		return
	}
	weight := float32(1)
	if !direct {
		weight = density / (density + w.chance[firstLight+f.Light]*l.Density(o, d, t))
	}
	layer := w.layer(int(f.Light))
	w.out[layer] = w.out[layer].Add(through.Mul(l.Colour).Scale(radiance * weight))
}

// askAll asks every source for light, or some when there are many.
func (w *walker) askAll(r *reflector, f *scene.Surface, through scene.RGB, smp sampler, use uint32) {
	w.chance[skyLayer] = 1
	if w.only != flashes {
		w.askSun(r, f, through, 1, smp, use)
		w.askSky(r, f, through, 1, smp, use)
	}
	n := len(w.s.Lights)
	if n <= lightsAtOnce {
		for i := range n {
			if !w.shines(i) {
				continue
			}
			w.chance[firstLight+i] = 1
			w.askLight(i, r, f, through, 1, smp, use+useLight+uint32(i))
		}
		return
	}
	total := w.weigh(r, f, false)
	if total == 0 {
		return
	}
	for k := range uint32(lightsAtOnce) {
		pick, _ := smp.pair(use + useLight + lightsAtOnce + k)
		// Each from a stretch of its own: what gives a quarter is asked once.
		if i := w.pick((float32(k)+pick)/lightsAtOnce*total, firstLight); i >= 0 {
			p := w.chance[i] / total * lightsAtOnce
			w.askLight(i-firstLight, r, f, through, 1/p, smp, use+useLight+k)
		}
	}
	for i := firstLight; i < len(w.chance); i++ {
		w.chance[i] *= lightsAtOnce / total
	}
}

// askOne asks one source, chosen by about what it will give. Behind the second
// vertex that is enough: what comes from there is little. In a rough picture it is
// enough there too.
func (w *walker) askOne(r *reflector, f *scene.Surface, through scene.RGB, smp sampler, use uint32) {
	total := w.weigh(r, f, true)
	if total == 0 {
		return
	}
	pick, _ := smp.pair(use + useLens)
	i := w.pick(pick*total, sunLayer)
	if i >= 0 {
		up := total / w.chance[i]
		switch i {
		case sunLayer:
			w.askSun(r, f, through, up, smp, use)
		case skyLayer:
			w.askSky(r, f, through, up, smp, use)
		default:
			w.askLight(i-firstLight, r, f, through, up, smp, use+useLight)
		}
	}
	for i := range w.chance {
		w.chance[i] /= total
	}
}

// weigh sets w.chance to an estimate of what each source gives and returns the
// sum. No source that may give something is left without a chance.
func (w *walker) weigh(r *reflector, f *scene.Surface, all bool) (total float32) {
	clear(w.chance)
	days := all && w.only != flashes
	if days {
		if w.sun.sin > 0 {
			if c := r.n.Dot(w.sun.to) + w.sun.sin; c > 0 {
				w.chance[sunLayer] = w.sun.illuminance.G * c * w.ambient
			}
		}
		if w.sky != nil {
			w.chance[skyLayer] = math.Pi * w.sky.mean * w.ambient
		}
		total = w.chance[sunLayer] + w.chance[skyLayer]
	} else if !all {
		w.chance[skyLayer] = 1 // asked already
	}
	for i := range w.s.Lights {
		if w.shines(i) {
			e := w.s.Lights[i].Estimate(f.At, r.n) * w.seconds(i)
			w.chance[firstLight+i] = e
			total += e
		}
	}
	if total == 0 {
		return 0
	}
	// A tenth of the chances goes to everybody alike.
	from, to := firstLight, len(w.chance)
	if days {
		from = sunLayer
	}
	if w.only == daylight && w.flashes == len(w.s.Lights) {
		to = firstLight
	}
	floor := total * 0.1 / float32(to-from)
	total = 0
	for i := from; i < to; i++ {
		if i == sunLayer && w.chance[i] == 0 || i == skyLayer && w.sky == nil || i >= firstLight && !w.shines(i-firstLight) {
			continue
		}
		w.chance[i] += floor
		total += w.chance[i]
	}
	return total
}

// pick returns the layer at the place x along the chances, or −1.
func (w *walker) pick(x float32, from int) int {
	last := -1
	for i := from; i < len(w.chance); i++ {
		if w.chance[i] == 0 {
			continue
		}
		last = i
		if x -= w.chance[i]; x < 0 {
			return i
		}
	}
	return last
}

func (w *walker) askSun(r *reflector, f *scene.Surface, through scene.RGB, up float32, smp sampler, use uint32) {
	if w.sun.sin == 0 || r.n.Dot(w.sun.to) < -w.sun.sin {
		return
	}
	u, v := smp.pair(use + useSun)
	x, y := scene.DiscPoint(u, v)
	x, y = x*w.sun.sin, y*w.sun.sin
	in := w.sun.to.Scale(scene.Sqrt32(1 - x*x - y*y)).Add(w.sun.t.Scale(x)).Add(w.sun.b.Scale(y))
	c := r.n.Dot(in)
	if c <= 0 || f.Normal.Dot(in) <= 0 {
		return
	}
	send, _ := r.to(in)
	if w.rays.Occluded(f.Lifted, in, far, w.time) {
		return
	}
	w.out[sunLayer] = w.out[sunLayer].Add(through.Mul(send).Mul(w.sun.illuminance).Scale(c * up))
}

func (w *walker) askSky(r *reflector, f *scene.Surface, through scene.RGB, up float32, smp sampler, use uint32) {
	if w.sky == nil {
		return
	}
	u, v := smp.pair(use + useSky)
	in, l, p := w.sky.choose(u, v)
	c := r.n.Dot(in)
	if c <= 0 || p <= 0 || f.Normal.Dot(in) <= 0 {
		return
	}
	send, q := r.to(in)
	if w.rays.Occluded(f.Lifted, in, far, w.time) {
		return
	}
	weight := p / (p + q*up) // up is 1 over the directions asked for
	w.out[skyLayer] = w.out[skyLayer].Add(through.Mul(send).Mul(l).Scale(c * up * weight / p))
}

func (w *walker) askLight(i int, r *reflector, f *scene.Surface, through scene.RGB, up float32, smp sampler, use uint32) {
	l := &w.s.Lights[i]
	u, v := smp.pair(use)
	in, dist, radiance, p := l.Toward(f.Lifted, u, v)
	if p == 0 || radiance == 0 {
		return
	}
	c := r.n.Dot(in)
	if c <= 0 || f.Normal.Dot(in) <= 0 {
		return
	}
	gain := up
	if least := w.slight * p / w.seconds(i); radiance*c*up < least {
		// Next to daylight it is hardly seen: few such rays are worth following, and
		// those count for the others.
		_, luck := smp.pair(use + lightsAtOnce)
		chance := max(radiance*c*up/least, leastChance)
		if luck >= chance {
			return
		}
		gain /= chance
	}
	send, q := r.to(in)
	if w.rays.Occluded(f.Lifted, in, dist*(1-1e-4)-1e-4, w.time) {
		return
	}
	weight := float32(1)
	if !l.Hidden {
		weight = p / (p + q*up)
	}
	layer := w.layer(i)
	w.out[layer] = w.out[layer].Add(through.Mul(send).Mul(l.Colour).Scale(radiance * c * gain * weight / p))
}

// mottled returns the matt reflectance at a place. Patches are made of value
// noise on a lattice, with a mean of nothing.
func mottled(m *scene.Material, p scene.Vec32) scene.RGB {
	if m.Mottle == 0 || m.MottleSize == 0 {
		return m.Diffuse
	}
	k := 1 / float32(m.MottleSize)
	n := noise(p.X*k, p.Y*k) + 0.5*noise(p.X*k*2.7+31, p.Y*k*2.7+17)
	return m.Diffuse.Scale(1 + float32(m.Mottle)*n*(2.0/3))
}

// noise is smooth, −1 to 1, and of zero mean.
func noise(x, y float32) float32 {
	fx, fy := float32(math.Floor(float64(x))), float32(math.Floor(float64(y)))
	i, j := uint32(int32(fx)), uint32(int32(fy))
	x, y = x-fx, y-fy
	x, y = x*x*(3-2*x), y*y*(3-2*y)
	at := func(i, j uint32) float32 { return float32(mix(i*0x9e3779b9^mix(j)))*(2.0/(1<<32)) - 1 }
	a := at(i, j)*(1-x) + at(i+1, j)*x
	b := at(i, j+1)*(1-x) + at(i+1, j+1)*x
	return a*(1-y) + b*y
}

// eye makes rays for the pixels of a frame.
type eye struct {
	at                   scene.Vec32
	corner, across, down scene.Vec32 // of the plane in focus, from the lens; across and down span one pixel
	right, top           scene.Vec32 // span the radius of the lens
	lens                 bool
}

// pixelInFocus returns how large a pixel is in the plane in focus, metres. The
// whole frame lies on the sensor, pixels are square.
func pixelInFocus(c *scene.Camera, width, height int) float64 {
	return min(c.SensorWidth.Metres()/float64(width), c.SensorHeight.Metres()/float64(height)) * float64(c.Focus/c.ImageDistance())
}

func newEye(c *scene.Camera, width, height int) eye {
	right, top, forward := c.Axes()
	s, pixel := c.Focus.Metres(), pixelInFocus(c, width, height)
	e := eye{
		at:     scene.To32(c.At),
		across: scene.To32(right.Scale(pixel)),
		down:   scene.To32(top.Scale(-pixel)),
		corner: scene.To32(forward.Scale(s).Sub(right.Scale(pixel * float64(width) / 2)).Add(top.Scale(pixel * float64(height) / 2))),
	}
	if c.FNumber > 0 {
		r := (c.Focal / unit.Length(2*c.FNumber)).Metres()
		e.lens, e.right, e.top = true, scene.To32(right.Scale(r)), scene.To32(top.Scale(r))
	}
	return e
}

// ray returns the ray through the place x, y of the frame, in pixels, and a
// place of the lens.
func (e *eye) ray(x, y, u, v float32) (o, d scene.Vec32) {
	d = e.corner.Add(e.across.Scale(x)).Add(e.down.Scale(y))
	o = e.at
	if e.lens {
		a, b := scene.DiscPoint(u, v)
		p := e.right.Scale(a).Add(e.top.Scale(b))
		o, d = o.Add(p), d.Sub(p)
	}
	return o, d.Unit()
}

// A lens says how far out of focus a thing is.
type lens struct{ pixels, focus float32 } // its width, in pixels of the plane in focus, and that plane's distance, m

func lensOf(c *scene.Camera, width, height int) lens {
	if c.FNumber <= 0 {
		return lens{}
	}
	return lens{float32(float64(c.Focal/unit.Length(c.FNumber)) / pixelInFocus(c, width, height)), float32(c.Focus.Metres())}
}

// blur returns how wide a point is drawn, pixels.
//
//	c = D · |s/d − 1| / pixel
func (l lens) blur(nearness float32) float32 {
	b := l.pixels * (l.focus*nearness - 1)
	return max(b, -b)
}
