// Package session holds the nouns people plan with, and the file they stand in.
// It answers: what was booked, where, when, with what, and what is wanted?
//
// The file is JSON with units in its names; docs/formats/session.md describes
// it and docs/formats/session.schema.json is made from the tags below. A nil
// pointer, an empty text and an empty list were not said; whoever computes says
// what is assumed instead. Bearings run clockwise from true north, times are the
// wall clock of the place.
//
// Read is strict: what it does not know it refuses, with the place in the file
// and the next step. Whether a class of head or modifier exists is for the
// catalogue to say, not for this package.
//
// Left out: anything computed, and anything private beyond a first name.
package session

// Format is the first line of every session file.
const Format = "hardnoon session 1"

// Tags of a field: json as usual (without omitempty it must be said), doc, unit,
// min and max (both may be reached), above (may not be reached), enum, form (see
// forms), least (entries of a list).

// Session is one booking.
type Session struct {
	Format  string   `json:"format" doc:"names this kind of file and its version" enum:"hardnoon session 1"`
	Title   string   `json:"title" doc:"what a person calls it" form:"text"`
	ID      string   `json:"id,omitempty" doc:"short name, for folders and commands" form:"id"`
	Place   Place    `json:"place" doc:"where it is"`
	Start   string   `json:"start" doc:"when it begins, wall clock of the place" form:"local"`
	Fold    string   `json:"fold,omitempty" doc:"which one, when clocks go back and the hour comes twice" enum:"first|second"`
	Sky     Sky      `json:"sky" doc:"what is known of the sky"`
	Weather *Weather `json:"weather,omitempty" doc:"what is forecast or measured"`
	Kit     Kit      `json:"kit" doc:"what is in the car"`
	People  []Person `json:"people,omitempty" doc:"who is in the pictures; no surnames"`
	Roster  []Player `json:"roster,omitempty" doc:"a team, in the order it queues; they all do the setups that have minutes_each"`
	Setups  []Setup  `json:"setups" doc:"what is planned, in order" least:"1"`
	Slots   []Slot   `json:"slots,omitempty" doc:"the hours that were offered"`
	Notes   string   `json:"notes,omitempty" doc:"whatever else"`
}

// Place is where the session is.
type Place struct {
	Name              string   `json:"name,omitempty" doc:"what people call it"`
	LatDeg            float64  `json:"lat_deg" doc:"latitude, north positive" unit:"°" min:"-90" max:"90"`
	LonDeg            float64  `json:"lon_deg" doc:"longitude, east positive" unit:"°" min:"-180" max:"180"`
	ElevationM        *float64 `json:"elevation_m,omitempty" doc:"above the sea" unit:"m" min:"-450" max:"9000"`
	Zone              string   `json:"zone" doc:"IANA name of the time zone" form:"zone"`
	Ground            string   `json:"ground,omitempty" doc:"what the subject stands on" enum:"grass|artificial-turf|asphalt|concrete|sand|snow|clay|track"`
	GroundReflectance *float64 `json:"ground_reflectance,omitempty" doc:"share of light the ground throws back, in place of the usual for its kind" min:"0" max:"1"`
	Memory            *Memory  `json:"memory,omitempty" doc:"what is remembered from earlier times here"`
	Field             *Field   `json:"field,omitempty" doc:"the sports ground that is painted there"`
	Solids            []Solid  `json:"solids,omitempty" doc:"what stands around"`
	FieldLightLX      *float64 `json:"field_light_lx,omitempty" doc:"mean light on the ground from the field lights at night, as their class says; none is a training class where some are lit" unit:"lx" min:"1" max:"5000"`
	Horizon           []Corner `json:"horizon,omitempty" doc:"hills and roofs far away, from corner to corner"`
}

// Field is a sports ground of the catalogue, laid on the place.
type Field struct {
	Name       string   `json:"name" doc:"ground of the catalogue: javelin, soccer, adult ..." form:"text"`
	BearingDeg float64  `json:"bearing_deg" doc:"the way its long axis or its throws go, from true north" unit:"°" min:"0" max:"360"`
	EastM      *float64 `json:"east_m,omitempty" doc:"where its origin lies, east of the mark" unit:"m" min:"-1000" max:"1000"`
	NorthM     *float64 `json:"north_m,omitempty" doc:"where its origin lies, north of the mark" unit:"m" min:"-1000" max:"1000"`
}

// Solid is a thing that stands on the place. It is placed by bearing and
// distance, or by east and north, both from the mark. Sizes that are not said
// are the usual ones of its kind.
type Solid struct {
	Kind       string   `json:"kind" doc:"what it is" enum:"wall|fence|pole|seating|building|vehicle|tree|field light"`
	Name       string   `json:"name,omitempty" doc:"what a person calls it"`
	Label      string   `json:"label,omitempty" doc:"what is wanted of it in the frame" enum:"keep|hide"`
	BearingDeg *float64 `json:"bearing_deg,omitempty" doc:"where it stands, from true north" unit:"°" min:"0" max:"360"`
	DistanceM  *float64 `json:"distance_m,omitempty" doc:"from the mark to the middle of its foot" unit:"m" min:"0" max:"5000"`
	EastM      *float64 `json:"east_m,omitempty" doc:"east of the mark" unit:"m" min:"-5000" max:"5000"`
	NorthM     *float64 `json:"north_m,omitempty" doc:"north of the mark" unit:"m" min:"-5000" max:"5000"`
	WidthM     *float64 `json:"width_m,omitempty" doc:"across" unit:"m" min:"0.01" max:"2000"`
	DepthM     *float64 `json:"depth_m,omitempty" doc:"along the way it is turned" unit:"m" min:"0.01" max:"2000"`
	HeightM    *float64 `json:"height_m,omitempty" doc:"of its top" unit:"m" min:"0.01" max:"1000"`
	TurnDeg    *float64 `json:"turn_deg,omitempty" doc:"the way it is turned, from true north: a car drives, seats rise, field lights look that way; none is away from the mark, of field lights towards the field" unit:"°" min:"0" max:"360"`
	Lit        bool     `json:"lit,omitempty" doc:"a field light that is switched on"`
}

// Corner is one corner of the skyline seen from the mark.
type Corner struct {
	AzimuthDeg  float64 `json:"azimuth_deg" doc:"from true north" unit:"°" min:"0" max:"360"`
	AltitudeDeg float64 `json:"altitude_deg" doc:"above level" unit:"°" min:"-5" max:"89"`
}

// Memory is what a place keeps from one session to the next.
type Memory struct {
	Notes []string `json:"notes,omitempty" doc:"what to know next time: where the sockets are, when the sprinklers start"`
	Past  []Past   `json:"past,omitempty" doc:"settings that were used here"`
}

// Past is one setup as it was shot here.
type Past struct {
	At       string   `json:"at" doc:"when, wall clock of the place" form:"local"`
	Setup    string   `json:"setup" doc:"id of the setup then" form:"id"`
	Shutter  string   `json:"shutter" doc:"time that was set" form:"shutter"`
	FNumber  float64  `json:"f_number" doc:"aperture that was set" min:"0.5" max:"128"`
	ISO      float64  `json:"iso" doc:"speed that was set" min:"1" max:"1000000"`
	NDStops  *float64 `json:"nd_stops,omitempty" doc:"neutral density that was on; none is no filter" unit:"stops" min:"0" max:"20"`
	KeyStops *float64 `json:"key_power_stops,omitempty" doc:"power of the key, 0 full, -3 an eighth" unit:"stops" min:"-14" max:"0"`
	KeyM     *float64 `json:"key_distance_m,omitempty" doc:"distance of the key" unit:"m" above:"0" max:"100"`
	Verdict  string   `json:"verdict,omitempty" doc:"what the frames said: good, too dark by a third ..."`
}

// Sky is what is known of the sky; Kind says which of the others counts.
type Sky struct {
	Kind       string   `json:"kind" doc:"which of the fields below describes it" enum:"named|oktas|metar|irradiance|meter"`
	Name       string   `json:"name,omitempty" doc:"named: a sky in words, such as clear, thin high cloud, overcast"`
	Oktas      *float64 `json:"oktas,omitempty" doc:"oktas: eighths of the sky under cloud" unit:"oktas" min:"0" max:"8"`
	METAR      string   `json:"metar,omitempty" doc:"metar: an aerodrome report as it was issued"`
	DNIWM2     *float64 `json:"dni_wm2,omitempty" doc:"irradiance: of the beam, on a plane facing the sun" unit:"W/m²" min:"0" max:"1400"`
	DHIWM2     *float64 `json:"dhi_wm2,omitempty" doc:"irradiance: of the sky, on a level plane" unit:"W/m²" min:"0" max:"1000"`
	MeterEV100 *float64 `json:"meter_ev100,omitempty" doc:"meter: incident reading at ISO 100, in the sun or, after dusk, under the lamps" unit:"EV" min:"-6" max:"20"`
	Turbidity  *float64 `json:"turbidity,omitempty" doc:"Linke turbidity at air mass 2, when known" min:"1" max:"12"`
}

// Weather is what wind and heat are judged by.
type Weather struct {
	TemperatureC *float64 `json:"temperature_c,omitempty" doc:"air, in the shade" unit:"°C" min:"-60" max:"60"`
	HumidityPct  *float64 `json:"humidity_pct,omitempty" doc:"relative humidity" unit:"%" min:"0" max:"100"`
	WindMPS      *float64 `json:"wind_mps,omitempty" doc:"ten-minute mean at 10 m" unit:"m/s" min:"0" max:"80"`
	GustMPS      *float64 `json:"gust_mps,omitempty" doc:"three-second gust at 10 m" unit:"m/s" min:"0" max:"120"`
}

// Kit is what can be used.
type Kit struct {
	Camera      Camera       `json:"camera" doc:"the body"`
	Lenses      []Lens       `json:"lenses" doc:"in the bag" least:"1"`
	Heads       []Head       `json:"heads" doc:"flash heads" least:"1"`
	Modifiers   []Modifier   `json:"modifiers,omitempty" doc:"what shapes the light; \"bare\" is always there"`
	Stands      []Stand      `json:"stands,omitempty" doc:"what holds the heads"`
	NDStops     []float64    `json:"nd_stops,omitempty" doc:"neutral density filters, each by its stops" unit:"stops" min:"0" max:"20"`
	Gels        []string     `json:"gels,omitempty" doc:"colour filters for the heads"`
	BallastKg   *float64     `json:"ballast_kg,omitempty" doc:"sand or water for the stands, in all" unit:"kg" min:"0" max:"1000"`
	Calibration *Calibration `json:"calibration,omitempty" doc:"what readings showed of this kit, as \"hardnoon kit calibrate\" gives it"`
}

// Camera is the body and what its dials can do.
type Camera struct {
	Sensor     string   `json:"sensor" doc:"size of the sensor" enum:"full-frame|aps-c|four-thirds|medium-44x33|medium-54x40"`
	Megapixels *float64 `json:"megapixels,omitempty" doc:"millions of pixels" unit:"Mpx" min:"1" max:"500"`
	Sync       string   `json:"sync" doc:"shortest time with an ordinary pop" form:"shutter"`
	Fastest    string   `json:"fastest,omitempty" doc:"shortest time of all" form:"shutter"`
	Shutter    string   `json:"shutter,omitempty" doc:"how the frame is uncovered" enum:"focal-plane|leaf|global"`
	ISOMin     *float64 `json:"iso_min,omitempty" doc:"lowest" min:"1" max:"1000000"`
	ISOMax     *float64 `json:"iso_max,omitempty" doc:"highest that still pleases" min:"1" max:"1000000"`
	Dial       string   `json:"dial,omitempty" doc:"what one click is" enum:"thirds|halves"`
}

// Lens is one lens; a fixed focal length is twice the same.
type Lens struct {
	ID         string   `json:"id" doc:"what setups call it" form:"id"`
	Name       string   `json:"name,omitempty" doc:"what a person calls it"`
	FocalMinMM float64  `json:"focal_min_mm" doc:"shortest focal length" unit:"mm" min:"1" max:"2000"`
	FocalMaxMM float64  `json:"focal_max_mm" doc:"longest focal length" unit:"mm" min:"1" max:"2000"`
	FMin       float64  `json:"f_min" doc:"least f-number, wide open" min:"0.5" max:"64"`
	FMax       *float64 `json:"f_max,omitempty" doc:"greatest f-number" min:"0.5" max:"128"`
	FilterMM   *float64 `json:"filter_mm,omitempty" doc:"filter thread" unit:"mm" min:"10" max:"200"`
}

// Head is one flash head: a class of the catalogue, what is printed on it, or both.
type Head struct {
	ID                  string   `json:"id" doc:"what setups call it" form:"id"`
	Class               string   `json:"class,omitempty" doc:"class of the catalogue whose figures it takes (\"hardnoon kit list\")" form:"id"`
	Name                string   `json:"name,omitempty" doc:"what a person calls it"`
	EnergyWS            *float64 `json:"energy_ws,omitempty" doc:"energy as printed" unit:"Ws" min:"1" max:"5000"`
	GuideNumberM        *float64 `json:"guide_number_m,omitempty" doc:"guide number as printed, full power" unit:"m" min:"0.5" max:"1000"`
	GuideNumberModifier string   `json:"guide_number_modifier,omitempty" doc:"class of modifier it was taken with; none is the bare head" form:"id"`
	GuideNumberISO      *float64 `json:"guide_number_iso,omitempty" doc:"ISO it was taken at; none is 100" min:"1" max:"1000000"`
	HSSEntryStops       *float64 `json:"hss_entry_stops,omitempty" doc:"what high-speed sync costs at sync speed" unit:"stops" min:"0" max:"8"`
}

// Modifier is one modifier of the kit.
type Modifier struct {
	ID    string `json:"id" doc:"what setups call it" form:"id"`
	Class string `json:"class" doc:"class of the catalogue (\"hardnoon kit list\")" form:"id"`
	Name  string `json:"name,omitempty" doc:"what a person calls it"`
}

// Stand holds a head.
type Stand struct {
	ID         string   `json:"id" doc:"what setups call it" form:"id"`
	MaxHeightM float64  `json:"max_height_m" doc:"how high it goes" unit:"m" min:"0.2" max:"12"`
	LegRadiusM float64  `json:"leg_radius_m" doc:"from the column to the tip of a leg" unit:"m" min:"0.1" max:"4"`
	Legs       *float64 `json:"legs,omitempty" doc:"number of legs" min:"3" max:"8"`
	MassKg     float64  `json:"mass_kg" doc:"of the stand alone" unit:"kg" min:"0.1" max:"200"`
}

// Calibration is what readings showed, in the form the calibration command
// writes; it takes the place of the catalogue's figures.
type Calibration struct {
	Heads []HeadCalibration `json:"heads,omitempty" doc:"what holds for a head behind anything"`
	Pairs []PairCalibration `json:"pairs,omitempty" doc:"what holds for a head behind one modifier"`
}

// HeadCalibration holds for one head behind anything.
type HeadCalibration struct {
	Head               string  `json:"head" doc:"id or class of the head" form:"id"`
	EfficacyStops      float64 `json:"efficacy_stops" doc:"against the class" unit:"stops" min:"-6" max:"6"`
	EfficacyErrorStops float64 `json:"efficacy_error_stops" doc:"one standard deviation" unit:"stops" min:"0" max:"6"`
	PowerSlope         float64 `json:"power_slope" doc:"true stops for one stop on the dial" min:"0.3" max:"3"`
	PowerSlopeError    float64 `json:"power_slope_error" doc:"one standard deviation" min:"0" max:"1"`
	HSSEntryStops      float64 `json:"hss_entry_stops" doc:"what high-speed sync costs at sync speed" unit:"stops" min:"-1" max:"8"`
	HSSEntryErrorStops float64 `json:"hss_entry_error_stops" doc:"one standard deviation" unit:"stops" min:"0" max:"6"`
	EfficacyMeasured   bool    `json:"efficacy_measured,omitempty" doc:"false: still the catalogue's"`
	PowerSlopeMeasured bool    `json:"power_slope_measured,omitempty" doc:"false: still taken from the dial"`
	HSSEntryMeasured   bool    `json:"hss_entry_measured,omitempty" doc:"false: still the catalogue's"`
}

// PairCalibration holds for one head behind one modifier.
type PairCalibration struct {
	Head         string   `json:"head" doc:"id or class of the head" form:"id"`
	Modifier     string   `json:"modifier" doc:"id or class of the modifier" form:"id"`
	GuideNumberM float64  `json:"guide_number_m" doc:"ISO 100, full power, at 2 m" unit:"m" min:"0.5" max:"1000"`
	GainStops    float64  `json:"gain_stops" doc:"above the catalogue" unit:"stops" min:"-8" max:"8"`
	ErrorStops   float64  `json:"error_stops" doc:"one standard deviation" unit:"stops" min:"0" max:"6"`
	Readings     *float64 `json:"readings,omitempty" doc:"how many it rests on" min:"0" max:"10000"`
}

// Person is somebody in the pictures.
type Person struct {
	ID         string   `json:"id" doc:"what setups call them" form:"id"`
	Name       string   `json:"name,omitempty" doc:"first name or nickname"`
	Age        *float64 `json:"age,omitempty" doc:"in years" unit:"years" min:"0" max:"120"`
	Handedness string   `json:"handedness,omitempty" doc:"the hand that throws, hits or kicks first" enum:"right|left"`
	HeightM    *float64 `json:"height_m,omitempty" doc:"standing, in shoes" unit:"m" min:"0.4" max:"2.6"`
	Sex        string   `json:"sex,omitempty" doc:"for the height at an age and the build; none is between" enum:"female|male"`
	Skin       string   `json:"skin,omitempty" doc:"tone, for how bright it comes out" enum:"light|medium|tan|brown|dark"`
	Hair       string   `json:"hair,omitempty" doc:"how it is worn" enum:"short|tail|none"`
	Wears      *Wears   `json:"wears,omitempty" doc:"clothes and headgear"`
	Arrives    string   `json:"arrives,omitempty" doc:"not there before, wall clock of the place" form:"local"`
	Leaves     string   `json:"leaves,omitempty" doc:"not there after" form:"local"`
}

// Wears is what somebody has on. Colours are those of cloth.
type Wears struct {
	Headgear       string   `json:"headgear,omitempty" doc:"on the head" enum:"none|cap|visor|helmet"`
	HeadgearColour string   `json:"headgear_colour,omitempty" doc:"of that" enum:"white|grey|black|red|blue|green|gold"`
	BrimMM         *float64 `json:"brim_mm,omitempty" doc:"how far a brim reaches" unit:"mm" min:"10" max:"200"`
	Shirt          string   `json:"shirt,omitempty" doc:"colour" enum:"white|grey|black|red|blue|green|gold"`
	Shorts         string   `json:"shorts,omitempty" doc:"colour, of trousers too" enum:"white|grey|black|red|blue|green|gold"`
	Socks          string   `json:"socks,omitempty" doc:"colour" enum:"white|grey|black|red|blue|green|gold"`
	Shoes          string   `json:"shoes,omitempty" doc:"colour" enum:"white|grey|black|red|blue|green|gold"`
	Singlet        bool     `json:"singlet,omitempty" doc:"without sleeves"`
	Trousers       bool     `json:"trousers,omitempty" doc:"long ones"`
}

// Player is one of a team: enough to call the next and to find the picture.
type Player struct {
	ID      string `json:"id" doc:"short name, for the frame with the name card" form:"id"`
	Name    string `json:"name,omitempty" doc:"first name or nickname"`
	Number  string `json:"number,omitempty" doc:"on the shirt"`
	Arrives string `json:"arrives,omitempty" doc:"not there before, wall clock of the place" form:"local"`
}

// Setup is one camera position and one arrangement of lights.
type Setup struct {
	ID      string         `json:"id" doc:"short name" form:"id"`
	Title   string         `json:"title,omitempty" doc:"what a person calls it"`
	At      string         `json:"at,omitempty" doc:"when it is shot, wall clock of the place; none is the start of the session" form:"local"`
	Minutes *float64       `json:"minutes,omitempty" doc:"how long it takes" unit:"min" min:"0" max:"1440"`
	Each    *float64       `json:"minutes_each,omitempty" doc:"how long each of the roster takes; the setup is then for the whole roster, and minutes come on top" unit:"min" min:"0" max:"240"`
	Skin    string         `json:"skin,omitempty" doc:"whether sweat may show; none is dry where nobody moves and any elsewhere" enum:"dry|any"`
	Camera  CameraPosition `json:"camera" doc:"where the camera stands, seen from the subject's mark"`
	Subject Subject        `json:"subject,omitzero" doc:"who stands there and how"`
	Lens    string         `json:"lens" doc:"id of a lens of the kit" form:"id"`
	FocalMM float64        `json:"focal_mm" doc:"focal length set" unit:"mm" min:"1" max:"2000"`
	Lights  []Light        `json:"lights" doc:"flash heads in use; an empty list is daylight alone"`
	Look    Look           `json:"look" doc:"what the picture is to be"`
	Shots   []Shot         `json:"shots,omitempty" doc:"the pictures wanted from it"`
}

// CameraPosition is where the camera stands and which way it looks.
type CameraPosition struct {
	DistanceM  float64 `json:"distance_m" doc:"from the subject" unit:"m" above:"0" max:"500"`
	HeightM    float64 `json:"height_m" doc:"of the lens above the ground" unit:"m" min:"0" max:"50"`
	BearingDeg float64 `json:"bearing_deg" doc:"the way the camera looks, from true north" unit:"°" min:"0" max:"360"`
	Upright    bool    `json:"upright,omitempty" doc:"held so that the frame is taller than wide"`
}

// Subject is who stands on the mark.
type Subject struct {
	FacesDeg *float64 `json:"faces_deg,omitempty" doc:"the way the subject faces, from true north; none is towards the camera" unit:"°" min:"0" max:"360"`
	Person   string   `json:"person,omitempty" doc:"id of a person" form:"id"`
	Pose     string   `json:"pose,omitempty" doc:"what the body does: stand, throw, leap, run ..." form:"text"`
	Holds    string   `json:"holds,omitempty" doc:"in the hand that throws" enum:"javelin|ball"`
}

// Light is one head at work.
type Light struct {
	Role         string   `json:"role" doc:"what it is for" enum:"key|edge|fill"`
	Head         string   `json:"head" doc:"id of a head of the kit" form:"id"`
	Modifier     string   `json:"modifier,omitempty" doc:"id of a modifier of the kit; none is the bare head" form:"id"`
	Stand        string   `json:"stand,omitempty" doc:"id of a stand of the kit" form:"id"`
	DistanceM    *float64 `json:"distance_m,omitempty" doc:"wanted, from the front of the modifier to the subject; none leaves it to the plan" unit:"m" above:"0" max:"100"`
	DistanceMinM *float64 `json:"distance_min_m,omitempty" doc:"nearest that is allowed" unit:"m" above:"0" max:"100"`
	DistanceMaxM *float64 `json:"distance_max_m,omitempty" doc:"furthest that is allowed" unit:"m" above:"0" max:"100"`
	AngleDeg     *float64 `json:"angle_deg,omitempty" doc:"from the line subject to camera, clockwise seen from above" unit:"°" min:"-360" max:"360"`
	HeightM      *float64 `json:"height_m,omitempty" doc:"of the head above the ground" unit:"m" min:"0" max:"12"`
}

// Look is what the picture is to be. Levels are stops relative to mid-tone.
type Look struct {
	UnderStops float64  `json:"under_stops" doc:"how far the background lies below mid-tone" unit:"stops" min:"-6" max:"10"`
	KeyStops   *float64 `json:"key_stops,omitempty" doc:"level of the side the key lights; none is 0" unit:"stops" min:"-6" max:"6"`
	EdgeStops  *float64 `json:"edge_stops,omitempty" doc:"level of the rim" unit:"stops" min:"-6" max:"6"`
	FillStops  *float64 `json:"fill_stops,omitempty" doc:"level of the shadow side" unit:"stops" min:"-8" max:"6"`
	FNumber    *float64 `json:"f_number,omitempty" doc:"wanted; none leaves it to the plan" min:"0.5" max:"128"`
	FNumberMin *float64 `json:"f_number_min,omitempty" doc:"least allowed" min:"0.5" max:"128"`
	FNumberMax *float64 `json:"f_number_max,omitempty" doc:"greatest allowed" min:"0.5" max:"128"`
	DepthM     *float64 `json:"depth_m,omitempty" doc:"depth that must be sharp" unit:"m" above:"0" max:"1000"`
	BlurPx     *float64 `json:"blur_px,omitempty" doc:"motion that still counts as sharp" unit:"px" above:"0" max:"1000"`
	SpeedMPS   *float64 `json:"speed_mps,omitempty" doc:"fastest thing that must be sharp, across the frame" unit:"m/s" min:"0" max:"120"`
	ISOMax     *float64 `json:"iso_max,omitempty" doc:"highest for this picture" min:"1" max:"1000000"`
	Route      string   `json:"route,omitempty" doc:"how flash and sun are to be told apart; none leaves it to the plan" enum:"stop-down|nd|high-speed|leaf"`
}

// Shot is one wanted picture.
type Shot struct {
	ID      string   `json:"id" doc:"short name" form:"id"`
	Title   string   `json:"title,omitempty" doc:"what a person calls it"`
	Frames  *float64 `json:"frames,omitempty" doc:"how many frames it may take" min:"1" max:"10000"`
	Minutes *float64 `json:"minutes,omitempty" doc:"how long it takes; none is its share of the setup by frames" unit:"min" min:"0" max:"1440"`
	Must    bool     `json:"must,omitempty" doc:"never dropped when time is short"`
}

// Slot is one offered stretch of time.
type Slot struct {
	Start   string  `json:"start" doc:"when it begins, wall clock of the place" form:"local"`
	Fold    string  `json:"fold,omitempty" doc:"which one, when clocks go back and the hour comes twice" enum:"first|second"`
	Minutes float64 `json:"minutes" doc:"how long it is" unit:"min" above:"0" max:"1440"`
}
