using NetAudit.Circuits.Tubes;
using Xunit;

namespace NetAudit.Tests.Tubes;

public class TubeCatalogueTests
{
    public static TheoryData<string> Types => [.. TubeCatalogue.All.Select(type => type.Name)];

    [Theory]
    [InlineData("12AX7", "12AX7")]
    [InlineData("ecc83", "12AX7")]
    [InlineData("6BQ5", "EL84")]
    [InlineData("6ca7", "EL34")]
    [InlineData("6V6", "6V6GT")]
    [InlineData("GZ34", "5AR4")]
    public void Find_NameOrAlias_GivesType(string name, string type) =>
        Assert.Equal(type, TubeCatalogue.Find(name)?.Name);

    [Fact]
    public void Find_UnknownName_GivesNull() => Assert.Null(TubeCatalogue.Find("12AX8"));

    [Theory]
    [MemberData(nameof(Types))]
    public void Pins_OfEachType_AreNumberedOnceFromOneToTheBase(string name)
    {
        var type = TubeCatalogue.Find(name)!;
        // Noval bases have nine pins, octal ones eight.
        var count = type.Pins.Length;
        Assert.True(count is 8 or 9);
        Assert.Equal(
            Enumerable.Range(1, count).Select(number => $"{number}"),
            type.Pins.Select(pin => pin.Number)
        );
    }

    [Theory]
    [MemberData(nameof(Types))]
    public void Pins_OfEachType_HoldEveryElectrodeOnce(string name)
    {
        var type = TubeCatalogue.Find(name)!;
        int Count(Electrode electrode, string section) =>
            type.Pins.Count(pin => pin.Electrode == electrode && pin.Section == section);
        switch (type.Kind)
        {
            case "triode":
                Assert.Equal(["A", "B"], type.Sections);
                foreach (var section in type.Sections)
                {
                    Assert.Equal(1, Count(Electrode.Plate, section));
                    Assert.Equal(1, Count(Electrode.Grid, section));
                    Assert.Equal(1, Count(Electrode.Cathode, section));
                }
                Assert.Equal(2, Count(Electrode.Heater, ""));
                Assert.Equal(1, Count(Electrode.HeaterCentreTap, ""));
                break;
            case "pentode":
                Assert.Equal([""], type.Sections);
                Assert.Equal(1, Count(Electrode.Plate, ""));
                Assert.Equal(1, Count(Electrode.Grid, ""));
                Assert.Equal(1, Count(Electrode.Cathode, ""));
                Assert.Equal(1, Count(Electrode.Screen, ""));
                Assert.Equal(2, Count(Electrode.Heater, ""));
                break;
            default:
                Assert.Equal("rectifier", type.Kind);
                Assert.Equal([""], type.Sections);
                Assert.Equal(1, Count(Electrode.Plate, "A"));
                Assert.Equal(1, Count(Electrode.Plate, "B"));
                Assert.Equal(1, Count(Electrode.Cathode, ""));
                break;
        }
    }

    // Base 9A of a double triode (Brimar 12AX7 application report): one section on pins 1 2 3, the other on 6 7 8, heater 4 5, tap 9.
    [Fact]
    public void Pins_OfDoubleTriode_AreAsPrinted()
    {
        var pins = TubeCatalogue.Find("12AX7")!.Pins;
        Assert.Equal(new TubePin("1", Electrode.Plate, "A"), pins[0]);
        Assert.Equal(new TubePin("3", Electrode.Cathode, "A"), pins[2]);
        Assert.Equal(new TubePin("7", Electrode.Grid, "B"), pins[6]);
        Assert.Equal(Electrode.HeaterCentreTap, pins[8].Electrode);
    }

    [Theory]
    [MemberData(nameof(Types))]
    public void Values_OfEachType_AreSensible(string name)
    {
        var type = TubeCatalogue.Find(name)!;
        Assert.Contains(type.HeaterVolts, new[] { 5.0, 6.3, 12.6 });
        Assert.InRange(type.HeaterAmps, 0.1, 2.0);
        Assert.InRange(type.Spread.Emission, 0.02, 0.3);
        Assert.NotEmpty(type.Spread.Source);
        Assert.All(
            type.Ratings.Where(rating => rating.Key.EndsWith("_max", StringComparison.Ordinal)),
            rating => Assert.True(rating.Value >= 0, rating.Key)
        );
        Assert.Contains(
            type.Kind == "rectifier" ? "output_amps_max" : "plate_watts_max",
            type.Ratings.Keys
        );
    }
}
