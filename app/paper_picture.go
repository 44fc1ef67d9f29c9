package app

import (
	"context"
	"fmt"
	"image"
	"math"
	"strings"

	"hardnoon/api"
	"hardnoon/engine/optics"
)

// A finish is how much care a preview on paper gets.
type finish struct {
	side  int     // pixels on the longer side
	noise float64 // stops
}

// Draft is about 150 dots an inch, fine about 300: what an office printer shows.
// From memory.
var finishes = map[string]finish{"draft": {240, 0.2}, "fine": {480, 0.08}}

// Pictures are the ways to put previews on the light sheet.
var Pictures = []string{"none", "draft", "fine"}

// pictures renders each setup, with its title or why there is none. Progress
// hears the share of all.
func (d *day) pictures(ctx context.Context, progress func(share float64)) ([]*image.Gray, []string, error) {
	n := len(d.s.Setups)
	made, why := make([]*image.Gray, n), make([]string, n)
	if d.Pictures == "" || d.Pictures == "none" {
		return made, why, nil
	}
	f, ok := finishes[d.Pictures]
	if !ok {
		return nil, nil, &api.Error{Kind: api.WrongInput, Code: "wrong_input", Field: "pictures", Text: fmt.Sprintf("no pictures are called %q", d.Pictures),
			Hint: "there are " + strings.Join(Pictures, ", ")}
	}
	high := f.side * 2 / 3
	if sensor, ok := optics.SensorByName(d.s.Kit.Camera.Sensor); ok {
		high = int(math.Round(float64(f.side) * float64(sensor.Height/sensor.Width)))
	}
	for i, su := range d.s.Setups {
		req := api.PreviewRequest{Session: d.s, Setup: su.ID, Width: f.side, Height: high, Noise: &f.noise}
		if su.Camera.Upright {
			req.Width, req.Height = req.Height, req.Width
		}
		a, err := api.Preview(ctx, req, func(share float64) {
			if progress != nil {
				progress((float64(i) + share) / float64(n))
			}
		})
		switch {
		case ctx.Err() != nil:
			return nil, nil, ctx.Err()
		case err != nil: // a sheet without one picture is better than none
			why[i] = err.Error()
		default:
			made[i] = printed(a.Image)
		}
	}
	return made, why, nil
}

// dotGain is how much darker a printer makes the middle of the scale. About 0.15
// on plain paper, from memory.
const dotGain = 0.15

// printed is a picture in grey as it must be sent to come out right: dots of ink
// grow on paper, so every tone is lightened by as much. All pictures of a sheet
// are treated alike, so that they can be compared.
func printed(m *image.NRGBA) *image.Gray {
	var tone [256]uint8
	for wanted := range tone {
		// Sent coverage a prints as a + 4 g a (1 − a); the quadratic is solved for a.
		ink := 1 - float64(wanted)/255
		b := 1 + 4*dotGain
		a := ink / b
		for range 8 { // a = (ink + 4 g a²) / b converges at once
			a = (ink + 4*dotGain*a*a) / b
		}
		tone[wanted] = uint8(255*(1-a) + 0.5)
	}
	out := image.NewGray(image.Rect(0, 0, m.Rect.Dx(), m.Rect.Dy()))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			// Luma of the coded values, as Rec. 709 weighs them.
			c := m.Pix[y*m.Stride+4*x:]
			luma := 0.2126*float64(c[0]) + 0.7152*float64(c[1]) + 0.0722*float64(c[2])
			out.Pix[y*out.Stride+x] = tone[uint8(luma+0.5)]
		}
	}
	return out
}
