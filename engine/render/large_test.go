package render_test

import (
	"context"
	"testing"

	"hardnoon/engine/render"
)

// Strips make the picture that one film makes.
func TestLargeIsPreview(t *testing.T) {
	s := build(t, field())
	o := render.Options{Width: 40, Height: 240, Samples: 4, Raw: true, Settings: fieldSettings, Seed: 3}
	want, err := shoot(t, s, o).Image(render.View{})
	if err != nil {
		t.Fatal(err)
	}
	share := 0.0
	got, err := render.Large(context.Background(), s, o, render.Gains{}, render.View{}, func(x float64) { share = x })
	if err != nil || share != 1 {
		t.Fatal(err, share)
	}
	for i := range want.Pix {
		if d := int(want.Pix[i]) - int(got.Pix[i]); d < -1 || d > 1 { // sums are added in another order
			t.Fatalf("byte %d is %d, want %d", i, got.Pix[i], want.Pix[i])
		}
	}
}

// BenchmarkLarge is 24 million pixels at one path each: what matters is the
// memory it takes (B/op is all of it, over all strips).
func BenchmarkLarge(b *testing.B) {
	s := build(b, field())
	for b.Loop() {
		if _, err := render.Large(context.Background(), s, render.Options{Width: 6000, Height: 4000, Samples: 1}, render.Gains{}, render.View{}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
