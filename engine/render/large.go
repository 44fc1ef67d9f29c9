package render

import (
	"context"
	"image"

	"hardnoon/engine/scene"
)

const (
	largeStrip  = 32 << 20               // bytes a strip of the film may take
	filterReach = 1<<printPasses - 1 + 4 // and what variance and specks take from beside
)

// Large renders a picture of print size in strips, keeping one mix instead of
// the layers, so that memory is that of the picture and one strip: below 200 MB
// at 24 million pixels. It is the picture Preview would make of the same samples,
// except that the filter works on the mix. Progress is called with the share
// done; it may be nil. When ctx ends, the rows done so far are returned.
func Large(ctx context.Context, s *scene.Scene, o Options, g Gains, v View, progress func(share float64)) (*image.NRGBA, error) {
	o.fill()
	if err := o.check(4); err != nil {
		return nil, err
	}
	t := newTracer(s, &o)
	fold, err := newFilm(s, &Options{Settings: o.Settings}).factors(g)
	if err != nil {
		return nil, err
	}
	rows := max(2*filterReach+tileSide, largeStrip/((layerBytes+pixelBytes)*o.Width))
	useful := rows - 2*filterReach
	f := &Film{Width: o.Width, Settings: o.Settings, fold: fold, layers: 1, lens: lensOf(&s.Camera, o.Width, o.Height)}
	img := image.NewNRGBA(image.Rect(0, 0, o.Width, o.Height))
	for y := 0; y < o.Height; y += useful {
		top, bottom := max(0, y-filterReach), min(o.Height, y+useful+filterReach)
		f.Height, f.top = bottom-top, top
		f.allocate()
		f.open(o.Window)
		for next := firstPaths; ; next *= 2 {
			if _, more := f.plan(&o, next); !more {
				break
			}
			if err := f.pass(ctx, t, o.Workers); err != nil {
				return img, err
			}
		}
		if !o.Raw {
			f.Denoise(o.Workers)
		}
		last := min(y+useful, o.Height)
		if err := f.draw(v, img.Pix[y*img.Stride:last*img.Stride], y-top); err != nil {
			return nil, err
		}
		if progress != nil {
			progress(float64(last) / float64(o.Height))
		}
	}
	return img, nil
}
