package geom_test

import (
	"math"
	"testing"

	"hardnoon/engine/geom"
	"hardnoon/engine/unit"
)

const tiny = 1e-12 // a few ulp of the trigonometric functions

func TestDirectionIsInverseOfAzimuthAndAltitude(t *testing.T) {
	for az := 0.0; az < 360; az += 7.5 {
		for alt := -85.0; alt < 90; alt += 5 {
			v := geom.Direction(unit.Angle(az)*unit.Degree, unit.Angle(alt)*unit.Degree)
			if math.Abs(v.Azimuth().Degrees()-az) > 1e-9 || math.Abs(v.Altitude().Degrees()-alt) > 1e-9 {
				t.Fatalf("(%v°, %v°) came back as (%v°, %v°)", az, alt, v.Azimuth().Degrees(), v.Altitude().Degrees())
			}
		}
	}
}

func TestCompassPoints(t *testing.T) {
	if d := geom.Direction(90*unit.Degree, 0).Sub(geom.East).Norm(); d > tiny {
		t.Errorf("azimuth 90° is off east by %g", d)
	}
	if d := geom.East.Cross(geom.North).Sub(geom.Up).Norm(); d > tiny {
		t.Errorf("the frame is not right-handed: %g", d)
	}
}

func TestBasisIsOrthonormalAndRightHanded(t *testing.T) {
	for _, n := range []geom.Vec{{0, 0, 1}, {0, 0, -1}, {1, 0, 0}, {0.6, -0.8, 0}, geom.Vec{1, 2, -3}.Unit()} {
		a, b := geom.Basis(n)
		for _, x := range []float64{a.Dot(b), a.Dot(n), b.Dot(n), a.Norm() - 1, b.Norm() - 1, a.Cross(b).Sub(n).Norm()} {
			if math.Abs(x) > tiny {
				t.Errorf("basis of %v is off by %g", n, x)
			}
		}
	}
}

func TestAngleToOfNearlyParallelVectors(t *testing.T) {
	a := geom.East
	b := geom.Direction(90*unit.Degree, 1e-7*unit.Radian)
	if got := float64(a.AngleTo(b)); math.Abs(got-1e-7) > 1e-15 {
		t.Errorf("got %g rad, want 1e-7", got)
	}
}
