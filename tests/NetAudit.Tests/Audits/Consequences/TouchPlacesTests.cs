using System.Globalization;
using NetAudit.Audits.Consequences;
using Xunit;

namespace NetAudit.Tests.Audits.Consequences;

/// <summary>What a hand may find against the classes of IEC 62368-1, <c>Data/audits/touch-limits.csv</c>.</summary>
public sealed class TouchPlacesTests
{
    [Fact]
    public void LevelOf_LimitsOfTheStandard_AreWhereTheLevelsBegin()
    {
        foreach (var row in TestTable.Read("audits/touch-limits.csv"))
        {
            var volts = double.Parse(row["volts"], CultureInfo.InvariantCulture);
            var amps = double.Parse(row["amps"], CultureInfo.InvariantCulture);
            var beyond = row["class"] == "ES1" ? TouchLevel.Unsafe : TouchLevel.Dangerous;

            Assert.Equal(beyond, TouchPlaces.LevelOf(1.01 * volts, 1.01 * amps));
            // Either within its limit makes the class: volts that drive no current, or a current at a low voltage.
            Assert.NotEqual(beyond, TouchPlaces.LevelOf(volts, 1.01 * amps));
            Assert.NotEqual(beyond, TouchPlaces.LevelOf(1.01 * volts, amps));
            Assert.Equal(beyond, TouchPlaces.LevelOf(-1.01 * volts, -1.01 * amps));
        }
    }
}
