package modifier

import (
	"math"

	"hardnoon/engine/unit"
)

// Drag coefficients, face on.
const (
	dragPlate  = 1.17 // square plate or disc across the flow [AeroData] fig. 5.13(b), [Hoerner1965]
	dragHollow = 1.42 // hollow hemisphere, open side upwind [AeroData] fig. 5.13(b)
)

// What diffusion and grids take, in stops. Own estimates inside the ranges
// named; the classes that use them carry the doubt in KError.
const (
	lossSock       = 1.2 // white nylon over a dish: 1.0 to 1.3, common practice, no source
	lossLayer      = 0.6 // a second inner layer in a box
	lossGridFabric = 1.0 // 0.7 to 1.3, from memory
	lossGridDish   = 0.8 // 0.3 to 1.5, from memory
)

// Where the strengths come from.
const (
	fromBoxes     = "five meter readings of boxes and octas with two layers, 0.95 to 1.41 m/√Ws [GNEnergy]"
	fromDishes    = "four meter readings of 45 cm dishes, 2.2 to 2.8 m/√Ws [GNEnergy]"
	fromReflector = "three readings of 18 cm reflectors, 1.6 to 1.9 m/√Ws [GNEnergy]"
	fromFocus     = "one reading of a 30 cm high-output reflector, 3.6 m/√Ws, 1.8 stops above an 18 cm one [GNEnergy]"
	fromUmbrella  = "losses against a bare head, one tester: 2.2 stops reflected, 1.7 to 1.9 through [GNUmbrella]"
	fromTube      = "15 to 50 lm·s per Ws in all directions [TubeEfficacy]"
	fromZoom      = "printed guide numbers at 75 Ws less 0.25 to 1.85 stops, the gap meters found [GNSpeedlight]"
)

func less(k float64, s unit.Stops) float64 { return k * math.Sqrt((-s).Ratio()) }

// disc, rectangle and bare write a class with its geometry filled in.
func disc(id, name string, cm float64, c Class) Class {
	c.ID, c.Name, c.Shape = id, name, Disc
	c.Width = unit.Length(cm) * unit.Centimetre
	c.Height = c.Width
	c.WindArea = math.Pi / 4 * c.Width.Metres() * c.Width.Metres()
	return c
}

func rectangle(id, name string, wide, high float64, c Class) Class {
	c.ID, c.Name, c.Shape = id, name, Rectangle
	c.Width, c.Height = unit.Length(wide)*unit.Centimetre, unit.Length(high)*unit.Centimetre
	c.WindArea = c.Width.Metres() * c.Height.Metres()
	c.Drag = dragPlate
	return c
}

// grid returns c with a grid of the given loss and beam.
func grid(c Class, loss unit.Stops, beam unit.Angle, kg unit.Mass) Class {
	c.ID += "-grid"
	c.Name += ", grid"
	c.K = less(c.K, loss)
	c.KError = unit.Stops(math.Hypot(float64(c.KError), 0.3))
	c.Beam = beam
	c.Mass += kg
	c.Source += "; the grid's loss from memory"
	c.Basis = "own estimate"
	return c
}

// The catalogue. Beams, masses and colour shifts are own estimates throughout:
// weigh what you carry.
var catalogue = func() []Class {
	const kg, deg = unit.Kilogram, unit.Degree

	small := Class{Name: "bare head, open tube or dome", ID: "bare", K: 1.05, KError: 0.7, Beam: 180 * deg,
		Width: 8 * unit.Centimetre, Height: 8 * unit.Centimetre, WindArea: 0.005, Drag: dragPlate, Source: fromTube, Basis: "opened"}
	window := func(id, name string, k float64, beam unit.Angle) Class {
		return Class{ID: id, Name: name, K: k, KError: 0.8, Beam: beam, Width: 7 * unit.Centimetre, Height: 5 * unit.Centimetre,
			Source: fromZoom, Basis: "opened"}
	}
	reflector := disc("reflector-18", "standard reflector, 18 cm", 18, Class{K: 1.75, KError: 0.4, Beam: 70 * deg,
		Mass: 0.3 * kg, Drag: dragPlate, Source: fromReflector, Basis: "opened"})
	focus := disc("focus-30", "focusing reflector, 30 cm", 30, Class{K: 3.6, KError: 0.5, Beam: 45 * deg, Setback: 25 * unit.Centimetre,
		Mass: 0.7 * kg, Drag: dragHollow, Source: fromFocus, Basis: "opened"})
	dish := disc("dish-60", "dish, silver, 60 cm, bare", 60, Class{K: 2.9, KError: 0.5, Beam: 60 * deg,
		Mass: 1.3 * kg, Drag: dragHollow, Source: fromDishes + "; silver set half a stop above their middle", Basis: "own estimate"})
	sock := disc("dish-60-sock", "dish, silver, 60 cm, with diffusion", 60, Class{K: less(dish.K, lossSock), KError: 0.5, Beam: 100 * deg,
		Mass: 1.4 * kg, Drag: dragPlate, Shift: 10, Source: dish.Source + "; less 1.2 stops", Basis: "own estimate"})
	white := disc("dish-60-white", "dish, white, 60 cm, bare", 60, Class{K: 2.4, KError: 0.4, Beam: 80 * deg,
		Mass: 1.3 * kg, Drag: dragHollow, Shift: 5, Source: fromDishes, Basis: "opened"})

	boxDouble := rectangle("softbox-60x90-double", "softbox 60 × 90 cm, two layers", 60, 90, Class{K: 1.2, KError: 0.4, Beam: 110 * deg,
		Mass: 1.1 * kg, Shift: 15, Source: fromBoxes, Basis: "opened"})
	box := rectangle("softbox-60x90", "softbox 60 × 90 cm, one layer", 60, 90, Class{K: less(boxDouble.K, -lossLayer), KError: 0.5, Beam: 95 * deg,
		Mass: 1.0 * kg, Shift: 10, Source: fromBoxes + "; one layer set 0.6 stop higher", Basis: "own estimate"})
	octaDouble := disc("octa-120-double", "octa, 120 cm, two layers", 120, Class{K: 1.15, KError: 0.4, Beam: 110 * deg,
		Mass: 1.7 * kg, Drag: dragPlate, Shift: 15, Source: fromBoxes, Basis: "opened"})
	octa := disc("octa-120", "octa, 120 cm, one layer", 120, Class{K: less(octaDouble.K, -lossLayer), KError: 0.5, Beam: 95 * deg,
		Mass: 1.6 * kg, Drag: dragPlate, Shift: 10, Source: fromBoxes + "; one layer set 0.6 stop higher", Basis: "own estimate"})
	strip := rectangle("strip-30x120", "strip box 30 × 120 cm", 30, 120, Class{K: 1.2, KError: 0.6, Beam: 90 * deg,
		Mass: 1.2 * kg, Shift: 12, Source: fromBoxes + "; narrow boxes lose more inside", Basis: "own estimate"})

	umbrella := func(id, name string, k float64, beam unit.Angle, shift unit.Mired, basis string) Class {
		return disc(id, name, 110, Class{K: k, KError: 0.6, Beam: beam, Mass: 0.6 * kg, Drag: dragHollow, Shift: shift,
			Source: fromUmbrella, Basis: basis})
	}
	return []Class{
		small, window("zoom-24", "speedlight window, 24 mm", 2.4, 75*deg), window("zoom-50", "speedlight window, 50 mm", 3.4, 45*deg),
		window("zoom-85", "speedlight window, 85 mm", 4.0, 30*deg),
		reflector, grid(reflector, lossGridDish, 20*deg, 0.1*kg), focus,
		dish, sock, white, grid(dish, lossGridDish, 35*deg, 0.5*kg),
		box, boxDouble, grid(box, lossGridFabric, 50*deg, 0.3*kg),
		octa, octaDouble, grid(octa, lossGridFabric, 50*deg, 0.5*kg),
		umbrella("umbrella-110-white", "umbrella, 110 cm, white, reflected", 1.25, 110*deg, 10, "opened"),
		umbrella("umbrella-110-silver", "umbrella, 110 cm, silver, reflected", 1.6, 80*deg, 0, "own estimate"),
		umbrella("umbrella-110-shoot", "umbrella, 110 cm, white, shot through", 1.4, 120*deg, 10, "opened"),
		strip, grid(strip, lossGridFabric, 45*deg, 0.3*kg),
	}
}()

// All returns the catalogue, in the order a person would read it.
func All() []Class { return append([]Class(nil), catalogue...) }

// ByID returns the class of that name.
func ByID(id string) (Class, bool) {
	for _, c := range catalogue {
		if c.ID == id {
			return c, true
		}
	}
	return Class{}, false
}
