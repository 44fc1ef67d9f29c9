module hardnoon

go 1.26.0

require (
	github.com/bep/imagemeta v1.0.1
	github.com/ringsaturn/tzf-rel-lite v0.0.2025-b2
	github.com/rogpeppe/go-internal v1.16.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
	github.com/spf13/cobra v1.10.2
	golang.org/x/text v0.41.0
)

require (
	codeberg.org/go-pdf/fpdf v0.12.0 // indirect
	github.com/arran4/golang-ical v0.3.4 // indirect
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/makiuchi-d/gozxing v0.1.1 // indirect
	github.com/skip2/go-qrcode v0.0.0-20200617195104-da1b6568686e // indirect
	github.com/spf13/pflag v1.0.9 // indirect
	golang.org/x/sys v0.50.0 // indirect
	golang.org/x/tools v0.48.0 // indirect
	golang.org/x/xerrors v0.0.0-20200804184101-5ec99f83aff1 // indirect
)
