#!/bin/sh
# Writes conversions by GNU units, an independent program, for the test of service/quantity to read:
#
#	sh integration/oracle/units.sh > service/quantity/testdata/gnu_units.tsv
#
# Each line is a value, the unit it is in, a unit, and the value in that, as GNU units computes it in doubles.
set -eu
command -v units >/dev/null || { echo "GNU units is missing: apt-get install units" >&2; exit 2; }

# group lists "name as we write it=name as GNU units knows it" and the values to convert.
group() {
	values=$1
	shift
	for from in "$@"; do
		for to in "$@"; do
			for v in $values; do
				printf '%s\t%s\t%s\t%s\n' "$v" "${from%%=*}" "${to%%=*}" "$(units -1 --terse -o %.17g -- "$v ${from#*=}" "${to#*=}")"
			done
		done
	done
}

printf '# %s\n' "$(units --version | head -n 1)"
group "1 0.05 0.0015 25.4 -0.35 52.065 9999.999999" mm=mm µm=um in=in thou=thou
group "1 0.5 12 28 33.895 -7.25 250.000001" "N·m=N m" "lbf·ft=lbf ft" "lbf·in=lbf in" "kgf·m=kgf m" "kgf·cm=kgf cm"
