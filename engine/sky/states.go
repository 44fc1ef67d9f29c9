package sky

import (
	"fmt"

	"hardnoon/engine/unit"
)

// States is what a described sky can look like. Under broken cloud the sun is
// either out or hidden, and a picture is made in one of the two; the mean of the
// hour is neither.
type States struct {
	Out      *Sky    // the sun between the clouds; nil when it never is
	Hidden   *Sky    // a cloud before the sun; nil when there is none
	Mean     *Sky    // as irradiance adds up over the hour
	OutShare float64 // of the time the sun is out, 0 to 1
}

// one is a sky that has one state.
func one(s *Sky) States {
	if s.DirectNormal > 0 {
		return States{Out: s, Mean: s, OutShare: 1}
	}
	return States{Hidden: s, Mean: s}
}

// Oktas returns the sky of which n eighths are covered, by [KastenCzeplak1980]
// on the clear sky of the conditions.
//
// The two states share the diffuse light and the pattern of the mean sky; the
// share of time is the one that makes their mean come out.
// Error: 0.7 stop in either state; own estimate.
func Oktas(c Conditions, n int) (States, error) {
	if err := unit.Within("cloud cover", float64(n), 0, 8, "oktas"); err != nil {
		return States{}, err
	}
	return clouded(c, n, AnyCloud)
}

// clouded is Oktas for a genus of cloud. Where it is not any, the transmittance
// of an overcast sky is that of the genus.
func clouded(c Conditions, n int, g Genus) (States, error) {
	clear, err := ClearSky(c)
	switch {
	case err != nil:
		return States{}, err
	case n == 0:
		return one(clear), nil
	case g == Cirrus && c.SunAltitude >= 0:
		return one(c.veil(clear, float64(n)/8)), nil
	}
	through := 1 - (1-CloudTransmittance(float64(n)))*(1-g.OvercastTransmittance())/0.75
	if g == Cirrus { // the sun is down: only its twilight shows through
		through = 1 - (1-veilGlobal)*float64(n)/8
	}
	words := fmt.Sprintf("%d oktas by Kasten and Czeplak 1980 on ", n)
	doubt := Doubt{0.6, "clouds differ from their mean"}
	if c.SunAltitude < 0 {
		s := c.twilight(through)
		s.Doubts = append(s.Doubts, doubt)
		return one(s), nil
	}
	sinh := unit.Irradiance(c.SunAltitude.Sin())
	global := (clear.DNI*sinh + clear.DHI) * unit.Irradiance(through)
	share := 1.0
	if clear.DHI > 0 {
		share = CloudDiffuseShare(float64(n), float64(clear.DHI/(clear.DNI*sinh+clear.DHI)))
	}
	diffuse := global * unit.Irradiance(share)
	var mean unit.Irradiance
	if sinh > 0 {
		mean = min((global-diffuse)/sinh, clear.DNI)
	}
	state := func(dni unit.Irradiance) *Sky {
		s := c.perez(mean, diffuse) // the pattern of the mean sky, with or without its sun
		if mean > 0 {
			s.DirectNormal *= unit.Lux(dni / mean)
		}
		s.DNI = dni
		s.DirectNormal *= unit.Lux(c.lowBeam())
		s.Diffuse = max(s.Diffuse, c.lowSky()*unit.Lux(through))
		s.Model = words + clear.Model
		s.Doubts = append(s.Doubts, Doubt{0.25, "turbidity of the day"}, doubt)
		return s.finish()
	}
	st := States{Mean: state(mean)}
	st.Hidden = state(0)
	if mean > 0 && clear.DNI > 0 {
		st.Out, st.OutShare = state(clear.DNI), float64(mean/clear.DNI)
	}
	return st, nil
}

// What a sky full of thin high cloud leaves of the clear sky: of the beam, and of
// the global irradiance. The sun shows through with soft shadows. Common
// practice, no source; a sheet that gives no shadow leaves 0.6 of the global.
const (
	veilBeam   = 0.55
	veilGlobal = 0.88
)

// veil returns the sky behind thin high cloud that covers a share of it. The sun
// shows through, so there is one state.
func (c Conditions) veil(clear *Sky, cover float64) *Sky {
	sinh := unit.Irradiance(c.SunAltitude.Sin())
	global := (clear.DNI*sinh + clear.DHI) * unit.Irradiance(1-(1-veilGlobal)*cover)
	dni := clear.DNI * unit.Irradiance(1-(1-veilBeam)*cover)
	s := c.perez(dni, max(0, global-dni*sinh))
	s.DirectNormal *= unit.Lux(c.lowBeam())
	s.Diffuse = max(s.Diffuse, c.lowSky()*veilGlobal)
	s = s.finish()
	s.Model = fmt.Sprintf("thin high cloud over %.0f %% of the sky, beam to %.0f %%, on ", 100*cover, 100*float64(dni/max(clear.DNI, 1e-9))) + clear.Model
	s.Doubts = append(s.Doubts, Doubt{0.25, "turbidity of the day"}, Doubt{0.4, "thin cloud differs"})
	return s
}
