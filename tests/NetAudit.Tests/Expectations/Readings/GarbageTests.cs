using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Expectations;
using NetAudit.Tests.Circuits;
using Xunit;

namespace NetAudit.Tests.Expectations.Readings;

/// <summary>Damaged sheets and readings give diagnostics, never exceptions, and every place lies in the text.</summary>
public class GarbageTests
{
    private const string Characters = "\"'=[]{},;.#@ \t\r\n0159abVRkx-µé\0\\";

    [Fact]
    public void Sheets_RandomlyDamaged_NeverThrow()
    {
        var path = Repository.File("sample-circuits/marram-20.cir");
        var netlist = CircuitReader.ReadFile(path);
        var sheet = File.ReadAllText(Path.ChangeExtension(path, null) + ".sheet.toml");

        ForEachDamaged(
            sheet,
            300,
            text =>
            {
                var result = AmplifierReader.ReadText(netlist, text, "s");
                return result.Diagnostics.Where(found => found.Where?.File == "s");
            }
        );
    }

    [Fact]
    public void Readings_RandomlyDamaged_NeverThrow()
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");
        var readings =
            "at,kind,value,ref,condition,note\np1,dc,182.4,,,\"a note\"\nv1.6,ohms,OL,k2,off,\n"
            + "out,ac,47m,,mains=85;volume=0.7;pull V3;inject c1;link p1 p2;Standby=play,\nV3,tap,noisy,,,x\n";

        ForEachDamaged(
            readings,
            3000,
            text => ReadingsFile.ReadText(text, "r", amplifier).Diagnostics
        );
    }

    [Fact]
    public void TypedLines_RandomlyDamaged_NeverThrow()
    {
        var amplifier = Amplifiers.Sample("marram-20.cir");

        ForEachDamaged(
            "V1 pin 6 (plate) 310 V ohms @ off; pull V3; link p1 p2",
            3000,
            text => TypedReading.Read(text, amplifier).Diagnostics
        );
    }

    private static void ForEachDamaged(
        string text,
        int times,
        Func<string, IEnumerable<Diagnostic>> read
    )
    {
        var random = new Random(20261);
        for (var i = 0; i < times; i++)
        {
            var damaged = text;
            for (var j = random.Next(1, 5); j > 0 && damaged.Length > 0; j--)
            {
                var at = random.Next(damaged.Length);
                damaged = random.Next(3) switch
                {
                    0 => damaged.Remove(at, Math.Min(random.Next(1, 9), damaged.Length - at)),
                    1 => damaged.Insert(at, Characters[random.Next(Characters.Length)].ToString()),
                    _ => damaged[..at],
                };
            }
            foreach (var found in read(damaged))
            {
                Assert.True(found.Where is null or { Line: > 0, Column: > 0 }, damaged);
                Assert.NotEmpty(found.ToString());
            }
        }
    }
}
