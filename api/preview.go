package api

import (
	"context"
	"fmt"
	"image"
	"math"
	"strconv"
	"strings"

	"hardnoon/engine/exposure"
	"hardnoon/engine/geom"
	"hardnoon/engine/render"
	"hardnoon/engine/scene"
	"hardnoon/engine/unit"
	"hardnoon/session"
)

// PreviewRequest asks for the picture of one setup.
type PreviewRequest struct {
	Session session.Session `json:"session"`
	Setup   string          `json:"setup,omitempty"` // none: the first
	View    string          `json:"view,omitempty"`  // frame, stops, clip, noise, or light=N (or light=key); none is frame
	Width   int             `json:"width_px,omitempty"`
	Height  int             `json:"height_px,omitempty"` // both 0: 480 on the longer side, as the sensor is
	Noise   *float64        `json:"noise_stops,omitempty"`
	Seed    uint64          `json:"seed,omitempty"`
}

// PreviewAnswer is a picture and what is written beside it.
type PreviewAnswer struct {
	Setup    string       `json:"setup"`
	Title    string       `json:"title"`
	View     string       `json:"view"`
	Width    int          `json:"width_px"`
	Height   int          `json:"height_px"`
	Settings SettingsJSON `json:"settings"`
	Probes   []SceneProbe `json:"probes"`

	Assumptions []string `json:"assumptions"`
	Notes       []Note   `json:"notes"`

	Image *image.NRGBA `json:"-"`
}

// Limits of a preview, and how clean it is where nobody says.
const (
	usualSide  = 480
	usualNoise = 0.05
	largeFrom  = 2_000_000 // pixels; above, a picture is made in strips
	elsewhere  = 4         // how much noisier a pixel may be before the filter
	roughly    = 5         // the same in a picture that is only to be read
	inFace     = 1.4       // the same in the face
	inLarge    = 1.9       // in such a picture, in a face that gives the filter more to go by
	largeFace  = 60        // pixels across
)

// pathsFor returns how many paths a pixel gets at most, outside the face: 64
// bring most of a picture to the usual noise, and noise falls with their root.
func pathsFor(noise float64) int {
	return int(min(4096, max(4, math.Ceil(64*math.Pow(usualNoise/noise, 2)))))
}

// faceBox returns the part of the picture the face takes up; it may be empty.
func (pic *picture) faceBox() image.Rectangle {
	o, f := &pic.options, &pic.face
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, at := range []geom.Vec{f.Cheeks[0], f.Cheeks[1], f.Forehead, f.Chin} {
		p, ahead := pic.scene.Camera.Project(at)
		if !ahead {
			return image.Rectangle{}
		}
		x0, x1 = min(x0, p.X*float64(o.Width)), max(x1, p.X*float64(o.Width))
		y0, y1 = min(y0, p.Y*float64(o.Height)), max(y1, p.Y*float64(o.Height))
	}
	r := image.Rectangle{}
	if w, h := float64(o.Width), float64(o.Height); x1 >= 0 && y1 >= 0 && x0 < w && y0 < h {
		r = image.Rect(int(max(x0, 0)), int(max(y0, 0)), int(min(x1, w-1))+1, int(min(y1, h-1))+1)
	}
	return r
}

// Preview renders one setup. Progress is called with the share done; it may be
// nil. When ctx ends first, its error is returned and no picture.
func Preview(ctx context.Context, req PreviewRequest, progress func(share float64)) (PreviewAnswer, error) {
	pic, err := req.begin()
	if err != nil {
		return PreviewAnswer{View: req.View}, err
	}
	s, o := &pic.seen, pic.options
	var made *image.NRGBA
	if o.Width*o.Height > largeFrom {
		made, err = render.Large(ctx, s, o, pic.gains, pic.view, progress)
	} else {
		made, err = settled(ctx, s, o, pic.gains, pic.view, progress)
	}
	if err != nil {
		return PreviewAnswer{View: req.View}, brokenOff(err)
	}
	return pic.answer(ctx, made)
}

// picture is a preview that is ready to be rendered.
type picture struct {
	*stage
	seen    scene.Scene // without probes, which are read apart
	options render.Options
	view    render.View
	gains   render.Gains
	name    string // of the view
	dial    exposure.Step
}

func (req PreviewRequest) begin() (*picture, error) {
	noise := or(req.Noise, usualNoise)
	if err := unit.Within("noise", noise, 0.005, 2, "stops"); err != nil {
		return nil, wrong("noise_stops", err, "0.05 is clean, 0.3 is quick")
	}
	p, err := newPlanner(req.Session)
	if err != nil {
		return nil, err
	}
	n := -1
	for i, su := range req.Session.Setups {
		if n < 0 && (req.Setup == "" || su.ID == req.Setup) {
			n = i
		}
	}
	if n < 0 {
		return nil, noSetup(req.Session, req.Setup)
	}
	if err := p.pictureSize(&req, req.Session.Setups[n].Camera.Upright); err != nil {
		return nil, err
	}
	pic := &picture{name: req.View, dial: p.camera.Dial}
	if pic.name == "" {
		pic.name = "frame"
	}
	if pic.view, pic.gains, err = viewOf(req.View, req.Session.Setups[n].Lights); err != nil {
		return nil, err
	}
	if pic.stage, err = p.stageOf(n, p.cellFor(req.Session.Setups[n], req.Width)); err != nil {
		return nil, err
	}
	crop(&pic.scene.Camera, req.Width, req.Height)
	pic.seen = *pic.scene
	pic.seen.Probes = nil
	pic.options = render.Options{Width: req.Width, Height: req.Height, Samples: pathsFor(noise), Noise: unit.Stops(elsewhere * noise), FocusNoise: unit.Stops(inFace * noise), Settings: pic.settings, Seed: req.Seed}
	pic.options.Focus = pic.faceBox()
	if noise > usualNoise {
		pic.options.Noise = unit.Stops(roughly * noise)
		if pic.options.Focus.Dx() >= largeFace {
			pic.options.FocusNoise = unit.Stops(inLarge * noise)
		}
	}
	return pic, nil
}

// answer puts the numbers beside the picture.
func (pic *picture) answer(ctx context.Context, made *image.NRGBA) (a PreviewAnswer, err error) {
	if a.Probes, err = pic.readings(ctx); err != nil {
		return a, err
	}
	a.Image, a.View, a.Width, a.Height = made, pic.name, pic.options.Width, pic.options.Height
	a.Setup, a.Title, a.Settings = pic.su.ID, pic.su.Title, settingsJSON(pic.settings, pic.dial)
	a.Notes = append([]Note{}, pic.notes...)
	a.Assumptions = []string{}
	for _, x := range append(pic.plan.Assumptions, pic.assumed...) {
		a.Assumptions = appendNew(a.Assumptions, x)
	}
	return a, nil
}

// settled renders pass by pass and filters once, at the end.
func settled(ctx context.Context, s *scene.Scene, o render.Options, g render.Gains, v render.View, progress func(float64)) (*image.NRGBA, error) {
	o.Raw = true
	o.Each = func(_ *render.Film, pass render.Pass) bool {
		if progress != nil {
			progress(pass.Share)
		}
		return true
	}
	f, err := render.Preview(ctx, s, o)
	if err != nil {
		return nil, err
	}
	f.Denoise(o.Workers)
	m, err := f.Mix(g)
	if err != nil {
		return nil, err
	}
	if progress != nil {
		progress(1)
	}
	return m.Image(v)
}

// pictureSize fills in and checks the size.
func (p *planner) pictureSize(req *PreviewRequest, upright bool) error {
	if req.Width == 0 && req.Height == 0 {
		req.Width, req.Height = usualSide, int(math.Round(usualSide*float64(p.sensor.Height/p.sensor.Width)))
		if upright {
			req.Width, req.Height = req.Height, req.Width
		}
	}
	for _, x := range []struct {
		field, what string
		n           int
	}{{"width_px", "width of the picture", req.Width}, {"height_px", "height of the picture", req.Height}} {
		if err := unit.Within(x.what, float64(x.n), 1, 16_384, "pixels"); err != nil {
			return wrong(x.field, err, "write it like 480x320")
		}
	}
	if ratio := float64(req.Width) / float64(req.Height); ratio > 20 || ratio < 1.0/20 {
		return wrong("width_px", fmt.Errorf("a picture of %d × %d pixels is a strip", req.Width, req.Height), "write it like 480x320")
	}
	return nil
}

// crop takes from the sensor what the picture does not show.
func crop(c *scene.Camera, width, height int) {
	want := unit.Length(float64(width) / float64(height))
	if c.SensorWidth > want*c.SensorHeight {
		c.SensorWidth = want * c.SensorHeight
	} else {
		c.SensorHeight = c.SensorWidth / want
	}
}

// viewOf reads the name of a view.
func viewOf(name string, lights []session.Light) (render.View, render.Gains, error) {
	var g render.Gains
	switch name {
	case "", "frame":
		return render.View{}, g, nil
	case "stops":
		return render.View{Aspect: render.AsStops}, g, nil
	case "clip":
		return render.View{Aspect: render.AsClips}, g, nil
	case "noise":
		return render.View{Aspect: render.AsNoise}, g, nil
	}
	which, ok := strings.CutPrefix(name, "light=")
	if !ok {
		return render.View{}, g, wrong("view", fmt.Errorf("no view is called %q", name), "there are frame, stops, clip, noise and light=N")
	}
	alone := -1
	if n, err := strconv.Atoi(which); err == nil {
		alone = n - 1
	} else {
		for i, l := range lights {
			if alone < 0 && l.Role == which {
				alone = i
			}
		}
	}
	if alone < 0 || alone >= len(lights) {
		return render.View{}, g, wrong("view", fmt.Errorf("there is no light %q", which), fmt.Sprintf("say light=1 to light=%d, or its role", len(lights)))
	}
	off := unit.Stops(math.Inf(-1))
	g.Sun, g.Sky, g.Lamps = off, off, off
	for i := range lights {
		g.Lights = append(g.Lights, off)
		if i == alone {
			g.Lights[i] = 0
		}
	}
	return render.View{}, g, nil
}
