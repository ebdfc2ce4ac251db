package check

import (
	"slices"

	"saltline/internal/assess"
)

// siteChecks ask about the work on the steel: how the water was put on and
// when, under which patch, in which air, on which spots, and whether the log
// tells it all.
func siteChecks() []*assess.Check {
	return slices.Concat(
		[]*assess.Check{
			contactTimeShort, waterLost, injectedVolumeUnsuited, tooFewPumpCycles, pumpCyclesNotRecorded, sameFootprint,
			moreAtOnceThanSets, spacingTooShort, readWithinAMinute, outOfTimeOrder, readBeforeStart,
			outsideTheShift, beforeBlastingEnded, afterCoatingBegan, passTooOld, nightBeforeCoating,
		},
		[]*assess.Check{
			singleUsePatchAgain, patchPastItsUses, patchCountBackwards,
			ringWithoutHold, ringOnSmallPipe,
			patchExpired, patchSizeNotIssued, patchStockDiffers,
			sealNotRemarked, dampSteel,
		},
		[]*assess.Check{
			steelTooHot, steelTooCold, notCompensated, compensationNotRecorded,
			dewMarginLow, humidityHigh, dewPointDoesNotFollow, impossibleAmbient, noAmbientSetNear,
		},
		[]*assess.Check{
			testInTwoAreas, areaNotListed, areaSizeMissing, spotTypeMissing, retestTooSoon,
			washWaterAboveLimit, washWaterUntested, abrasiveAboveLimit, abrasiveUntested,
			numberUsedTwice, numbersMissing, fieldsNotRecorded,
		},
		retestChecks(),
	)
}
