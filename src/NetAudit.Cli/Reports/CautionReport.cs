using NetAudit.Circuits;
using NetAudit.Cli.Terminals;
using NetAudit.Diagnosis;

namespace NetAudit.Cli.Reports;

/// <summary>The cautions, wherever an answer leads a hand into a unit.</summary>
internal static class CautionReport
{
    public static void Write(Screen screen, Amplifier amplifier)
    {
        screen.Line();
        screen.Line("Before a hand goes in", Ink.Alarm);
        foreach (var caution in Cautions.Of(amplifier))
        {
            screen.Paragraph(caution, "  - ");
        }
    }
}
