package order

import (
	"math"
	"time"

	"hardnoon/engine/flash"
	"hardnoon/engine/unit"
)

// What testing costs, and how a head cools. Common practice, no source: four to
// ten test frames a setup; a locked head asks for ten minutes.
const (
	TestPops = 6
	coolDown = 10 * time.Minute
)

// ChargeKept is the share of a charge that is not planned with: an old or cold
// battery, a card forgotten on. Own choice.
const ChargeKept = 0.2

// Work is what one setup asks of a head.
type Work struct {
	Pops    int        // test frames included
	Power   unit.Stops // relative to a full pop
	Begin   time.Duration
	Takes   time.Duration
	Spacing time.Duration // wanted between two pops; recycling may ask for more
}

// Stamina is how a head gets through a day.
type Stamina struct {
	Pops    int
	Charges float64         // of one battery, all added up
	Spares  int             // batteries beside the one in the head, ChargeKept left in each
	Pauses  []time.Duration // for each work: how long the head has to rest in it
	Bears   []int           // for each work: the pops it takes without that rest, spread over its time
}

// StaminaOf returns how a head gets through works in the order of the day. It
// heats by each pop's energy and cools evenly, from the limit to cold in ten
// minutes; sun is the share of its limit that is left in heat, 1 in the shade.
//
//	heat ← max(0, heat − n·Δt/10 min) + 2^power    n full pops in a row at most
//
// Error: unknown; limits are printed for room temperature and 38 pops became
// three after an hour in the sun [SpeedlightHeat]. Source: own model.
func StaminaOf(s flash.Source, works []Work, sun float64) Stamina {
	limit := float64(s.Head.HeatPops) * sun
	var out Stamina
	heat, last := 0.0, time.Duration(0)
	for _, w := range works {
		pause, bears := time.Duration(0), w.Pops
		if per := s.PopsPerCharge(w.Power); per > 0 {
			out.Charges += float64(w.Pops) / float64(per)
		}
		out.Pops += w.Pops
		if limit > 0 && w.Pops > 0 {
			rate := limit / coolDown.Seconds()
			heat = math.Max(0, heat-rate*(w.Begin-last).Seconds())
			gap := math.Max(w.Spacing.Seconds(), s.RecycleAt(w.Power).Seconds())
			each := math.Min(w.Power.Ratio(), 1)
			// Between pops the head cools; what stays has to fit below the limit.
			if net := each - rate*gap; net > 0 {
				bears = min(bears, int((limit-heat+rate*w.Takes.Seconds())/each+1e-9))
				heat += net * float64(w.Pops)
				if over := heat - limit; over > 0 {
					pause = time.Duration(over / rate * float64(time.Second))
					heat = limit
				}
			}
		}
		last = w.Begin + w.Takes
		out.Pauses, out.Bears = append(out.Pauses, pause), append(out.Bears, bears)
	}
	if out.Charges > 1-ChargeKept {
		out.Spares = int(math.Ceil(out.Charges/(1-ChargeKept)-1e-9)) - 1
	}
	return out
}
