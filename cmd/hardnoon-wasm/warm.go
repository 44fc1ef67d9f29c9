package main

import "hardnoon/api"

// warm asks one plan before the page does. A browser compiles a function when
// it is first called, and nobody's hand should wait for that.
func warm() error {
	_, err := api.CallJSON("plan", []byte(warmSession))
	return err
}

// warmSession is about the least there is to plan.
const warmSession = `{"format":"hardnoon session 1","title":"warm-up","start":"2027-01-16T12:00",
"place":{"lat_deg":-33,"lon_deg":-71,"zone":"America/Santiago"},"sky":{"kind":"named","name":"clear"},
"kit":{"camera":{"sensor":"full-frame","sync":"1/250"},"lenses":[{"id":"l","focal_min_mm":24,"focal_max_mm":70,"f_min":2.8}],
"heads":[{"id":"a","class":"battery-400"}],"modifiers":[{"id":"m","class":"dish-60"}]},
"setups":[{"id":"s","camera":{"distance_m":2,"height_m":1,"bearing_deg":150},"lens":"l","focal_mm":35,
"lights":[{"role":"key","head":"a","modifier":"m","angle_deg":40,"height_m":2}],"look":{"under_stops":1}}]}`
