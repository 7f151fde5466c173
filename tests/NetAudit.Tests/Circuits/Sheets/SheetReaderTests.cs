using NetAudit.Circuits.Sheets;
using NetAudit.Circuits.Tubes;
using NetAudit.Common;
using Xunit;

namespace NetAudit.Tests.Circuits.Sheets;

public class SheetReaderTests
{
    private const string Cards =
        ".param volume=0.5\nVHT hv 0 300\nVIN g 0 DC 0 AC 1\nR1 hv p 100k\nXV1A p g k 12AX7\n"
        + "R2 k 0 1.5k\nRF hv b 0.1\nC1 b 0 47u\nRJ p x 0.1\nR3 x 0 {volume*1Meg+1}";

    // Every key that the sheet reference lists.
    private const string Whole = """
        title = "Marram Test"
        revision = "B"
        netlist = "test.cir"

        [meter]
        input_resistance = "10M"
        ohms_per_volt = "20k"
        ranges = [50, "250V", 10]
        dc = { of_reading = 0.02, counts = 1, digits = 2000 }
        ac = { of_reading = "3%" }
        ohms = { counts = 4 }

        [mains]
        nominal = 230.0
        spread = 0.05
        sources = ["VHT"]

        [tolerance]
        resistor = "10%"
        electrolytic = [-0.1, 0.3]
        tube_grid = 0.3

        [part.R1]
        tolerance = 0.01
        power = "2W"
        voltage = "350V"
        kind = "Metal film"

        [part.V1]
        tube_emission = 0.2
        tube_grid = "60m"

        [part.LEVEL]
        kind = "potentiometer"
        elements = ["R3"]

        [[tube]]
        name = "V1"
        type = "ECC83"
        sections = { XV1A = "B" }
        pins = { 6 = "XV1A.plate", "4" = "heater" }

        [[point]]
        name = "Plate test point"
        node = "p"

        [[stage]]
        name = "Only stage"
        parts = ["XV1A", "R1"]
        input = "g"
        output = "v1.6"

        [[stage]]
        name = "Power"
        parts = ["C1"]
        supply = true

        [[control]]
        name = "Volume"
        param = "volume"
        from = 0.1
        to = 0.9

        [[switch]]
        name = "Standby"
        positions = { play = { RF = "closed" }, standby = { RF = "open", volume = 0 } }

        [[supply]]
        name = "Main"
        source = "VHT"
        secondary = "250V"
        winding_resistance = 90
        rectifier = "GZ34"
        circuit = "full-wave"
        reservoir = "C1"
        frequency = 60

        [[fuse]]
        name = "HT fuse"
        element = "RF"
        rating = "500mA T"

        [[contact]]
        name = "Jack"
        element = "RJ"

        [bench]
        fixtures = ["VIN"]

        [power_off]
        open = ["VHT"]

        [signal]
        source = "VIN"
        frequency = "1k"
        level = "20m"

        [published]
        p = { dc = 182.0, ac = 3.1, limits = 0.1 }
        k = 1.5
        """;

    [Fact]
    public void Read_WholeSheet_GivesEveryKey()
    {
        var sheet = Amplifiers.Of(Cards, Whole).Sheet;

        Assert.Equal(
            ("Marram Test", "B", "test.cir"),
            (sheet.Title, sheet.Revision, sheet.Netlist)
        );
        Assert.Equal(10e6, sheet.Meter.InputResistance);
        Assert.Equal(20e3, sheet.Meter.OhmsPerVolt);
        Assert.Equal([10, 50, 250], sheet.Meter.Ranges);
        Assert.Equal(new MeterAccuracy(0.02, 1, 2000), sheet.Meter.Dc);
        Assert.Equal(0.03, sheet.Meter.Ac.OfReading, 1e-12);
        Assert.Equal(4, sheet.Meter.Ohms.Counts);
        Assert.Equal((230.0, 0.05), (sheet.Mains.Nominal, sheet.Mains.Spread));
        Assert.Equal(["VHT"], sheet.Mains.Sources);
        Assert.Equal(Tolerance.Within(0.1), sheet.Tolerances["resistor"]);
        Assert.Equal(new Tolerance(-0.1, 0.3, false), sheet.Tolerances["electrolytic"]);
        Assert.Equal(Tolerance.OneSigma(0.3), sheet.Tolerances["tube_grid"]);
        Assert.Equal(["electrolytic", "resistor", "tube_grid"], sheet.GivenTolerances.Order());
        var r1 = sheet.Parts["r1"];
        Assert.Equal(Tolerance.Within(0.01), r1.Tolerance);
        Assert.Equal((2.0, 350.0, "metal-film"), (r1.Power, r1.Voltage, r1.Kind));
        Assert.Equal((0.2, 0.06), (sheet.Parts["V1"].TubeEmission, sheet.Parts["V1"].TubeGrid));
        var tube = Assert.Single(sheet.Tubes);
        Assert.Equal([("XV1A", "B")], tube.Sections);
        Assert.Equal(
            [
                new TubePinData("6", "XV1A", Electrode.Plate),
                new TubePinData("4", null, Electrode.Heater),
            ],
            tube.Pins
        );
        Assert.Equal(new PointData("Plate test point", "p"), Assert.Single(sheet.Points));
        Assert.Equal([false, true], sheet.Stages.Select(stage => stage.IsSupply));
        Assert.Equal(0.5, Assert.Single(sheet.Controls).ValueAt(0.5), 1e-12);
        var standby = Assert.Single(sheet.Switches).Positions[1];
        Assert.Equal("standby", standby.Name);
        Assert.Equal(double.PositiveInfinity, standby.Settings["rf"]);
        Assert.Equal(
            new SupplyData("Main", "VHT", 250, 90, "GZ34", RectifierCircuit.FullWave, "C1", 60),
            Assert.Single(sheet.Supplies)
        );
        Assert.Equal(new FuseData("HT fuse", "RF", 0.5, "T"), Assert.Single(sheet.Fuses));
        Assert.Equal(new ContactData("Jack", "RJ"), Assert.Single(sheet.Contacts));
        Assert.Equal(["VIN"], sheet.Fixtures);
        Assert.Equal(["VHT"], sheet.OpenWhenOff);
        Assert.Equal(new SignalData("VIN", 1000, 0.02), sheet.Signal);
        Assert.Equal(
            [new PublishedVoltage("p", 182, 3.1, 0.1), new PublishedVoltage("k", 1.5, null, 0.2)],
            sheet.Published
        );
    }

    [Theory]
    [InlineData("[metre]\nx = 1", "1:2", "the sheet has no key \"metre\"", "did you mean meter?")]
    [InlineData(
        "[meter]\ninput_resistence = 1",
        "2:1",
        "no key \"input_resistence\"",
        "did you mean input_resistance?"
    )]
    [InlineData("[tolerance]\nresistor = -0.05", "2:12", "cannot be -50m", "from 0")]
    [InlineData("[tolerance]\nresistor = 5", "2:12", "cannot be 5", "0.05 is 5 %")]
    [InlineData(
        "[tolerance]\ncapacitor = [0.2, -0.2]",
        "2:13",
        "lower limit above",
        "lower limit first"
    )]
    [InlineData("[part.R9]\ntolerance = 0.1", "1:7", "no part \"R9\"", "did you mean R1?")]
    [InlineData("[part.R1]\npower = \"two\"", "2:9", "wrong type", "a number")]
    [InlineData("[part.R1]\npower = true", "2:9", "wrong type", "a number")]
    [InlineData("[part]\nR1 = 5", "2:6", "wrong type", "a table")]
    [InlineData("title = 5", "1:9", "wrong type", "in quotes")]
    [InlineData("tube = 5", "1:8", "wrong type", "[[tube]]")]
    [InlineData("[[tube]]\nsections = { XV1A = \"A\" }", "1:3", "lacks \"name\"", "add name")]
    [InlineData(
        "[[tube]]\nname = \"V1\"\nsections = { XV1 = \"A\" }",
        "3:14",
        "no tube or other device \"XV1\"",
        "did you mean XV1A?"
    )]
    [InlineData(
        "[[tube]]\nname = \"V1\"\npins = { 1 = \"XV1A.plat\" }",
        "3:14",
        "\"plat\" is no electrode",
        "did you mean plate?"
    )]
    [InlineData(
        "[[point]]\nname = \"A\"\nnode = \"pp\"",
        "3:8",
        "no node \"pp\"",
        "did you mean p?"
    )]
    [InlineData(
        "[[stage]]\nname = \"A\"\nparts = [\"R1\", \"RR2\"]",
        "3:16",
        "no part \"RR2\"",
        "did you mean R2?"
    )]
    [InlineData(
        "[[control]]\nname = \"V\"\nparam = \"volum\"",
        "3:9",
        "no parameter \"volum\"",
        "did you mean volume?"
    )]
    [InlineData(
        "[[switch]]\nname = \"S\"\npositions = { on = { RR = 1 } }",
        "3:22",
        "no parameter, resistor or source \"RR\"",
        "did you mean"
    )]
    [InlineData(
        "[[fuse]]\nname = \"F\"\nelement = \"C1\"",
        "3:11",
        "no resistor \"C1\"",
        "did you mean R1?"
    )]
    [InlineData(
        "[[fuse]]\nname = \"F\"\nelement = \"RF\"\nrating = \"500mA X\"",
        "4:10",
        "no fuse rating",
        "500mA T"
    )]
    [InlineData(
        "[[supply]]\nname = \"S\"\nsource = \"VHT\"\nreservoir = \"C1\"\ncircuit = \"bridg\"\nsecondary = 250",
        "5:11",
        "no rectifier circuit",
        "did you mean bridge?"
    )]
    [InlineData(
        "[[tube]]\nname = \"V1\"\ntype = \"12AX8\"",
        "3:8",
        "no tube type \"12AX8\"",
        "did you mean 12A"
    )]
    [InlineData("[bench]\nfixtures = \"VIN\"", "2:12", "wrong type", "a list of names")]
    [InlineData("[signal]\nsource = \"R1\"", "2:10", "no source \"R1\"", null)]
    [InlineData("[signal]\nsource = \"VIN\"\nsource_resistance = 0", "3:21", "cannot be", "1 mΩ")]
    [InlineData(
        "[signal]\nsource = \"VIN\"\nblocking_capacitance = 1",
        "3:24",
        "cannot be",
        "0.1 F"
    )]
    [InlineData("[mains]\nnominal = 0", "2:11", "cannot be 0", "above 0")]
    [InlineData("[published]\nq = 5", "2:1", "no node \"q\"", "did you mean")]
    [InlineData(
        "title = \"A\"\ntitle = \"B\"",
        "2:1",
        "given twice; the first is in line 1",
        "remove one"
    )]
    [InlineData("[meter]\n[meter]", "2:2", "given twice", "remove one")]
    [InlineData("title = = 5", "1:9", "not TOML", null)]
    [InlineData("title = \"A", "1:10", "not TOML", null)]
    [InlineData("title = 2020-01-01", "1:9", "wrong type", "in quotes")]
    public void Read_Mistake_SaysWhereAndWhatMendsIt(
        string text,
        string place,
        string message,
        string? mend
    )
    {
        var result = Amplifiers.Read(Cards, text);

        Assert.Null(result.Amplifier);
        var found = Assert.Single(result.Diagnostics, d => d.Where?.File == "test.sheet.toml");
        Assert.Equal($"test.sheet.toml:{place}", found.Where.ToString());
        Assert.Contains(message, found.Message, StringComparison.Ordinal);
        Assert.Equal(Severity.Error, found.Severity);
        Assert.NotNull(found.SourceLine);
        if (mend is not null)
        {
            Assert.Contains(mend, found.Mend, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Read_ManyMistakes_ReportsThemAllInOneRun()
    {
        var result = Amplifiers.Read(
            Cards,
            "titel = \"A\"\n[meter]\ndc = { counts = -1 }\n[part.R99]\npower = 1\nvoltage = []\n"
        );

        Assert.Equal(
            ["3:17", "6:11", "1:1", "4:7"],
            result.Diagnostics.Select(found => $"{found.Where?.Line}:{found.Where?.Column}")
        );
    }

    [Fact]
    public void Read_NetlistAndSheetBothWrong_ReportsBoth()
    {
        var result = Amplifiers.Read("R1 a 0", "titel = 1");

        Assert.Contains(result.Diagnostics, found => found.Where?.File == "test.cir");
        Assert.Contains(result.Diagnostics, found => found.Where?.File == "test.sheet.toml");
    }

    [Theory]
    [InlineData("500mA T", 0.5, "T")]
    [InlineData("T500mA", 0.5, "T")]
    [InlineData("T 500 mA", 0.5, "T")]
    [InlineData("FF 1A", 1, "FF")]
    [InlineData("2A", 2, null)]
    [InlineData("0.315 A t", 0.315, "T")]
    public void Read_FuseRating_GivesAmpsAndSpeed(string rating, double amps, string? speed)
    {
        var sheet = Amplifiers
            .Of(Cards, $"[[fuse]]\nname = \"F\"\nelement = \"RF\"\nrating = \"{rating}\"")
            .Sheet;

        Assert.Equal(new FuseData("F", "RF", amps, speed), Assert.Single(sheet.Fuses));
    }

    [Fact]
    public void Default_Tolerances_AreTheDataFiles()
    {
        var tolerances = ServiceSheet.Default.Tolerances;

        Assert.Equal(0.05 / Math.Sqrt(3), tolerances["resistor"].Sigma, 1e-12);
        Assert.Equal(0.15, tolerances["electrolytic"].Mean, 1e-12);
        Assert.True(tolerances["tube_emission"].IsSigma);
        Assert.Null(tolerances.Find("nothing"));
    }

    [Theory]
    // A 4000-count meter shows 39.99 V on its 40 V range and 40.1 V on its 400 V range.
    [InlineData(39.9, 0.01)]
    [InlineData(40.1, 0.1)]
    [InlineData(-182, 0.1)]
    [InlineData(0, 0.0001)]
    public void CountSize_OfReading_IsThatOfItsRange(double volts, double count) =>
        Assert.Equal(count, Meter.Default.Dc.CountSize(volts), 1e-9);

    [Fact]
    public void LoadOhms_OfNeedleMeter_IsThatOfTheLowestRangeThatHolds()
    {
        var meter = Meter.Default with { OhmsPerVolt = 20e3, Ranges = [10, 50, 250] };

        Assert.Equal(20e3 * 10, meter.LoadOhms(3));
        Assert.Equal(20e3 * 250, meter.LoadOhms(-182));
        Assert.Equal(20e3 * 250, meter.LoadOhms(900));
        Assert.Equal(10e6, Meter.Default.LoadOhms(900));
    }
}
