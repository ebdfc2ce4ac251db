package heading_test
import ("testing";"saltline/internal/heading";"saltline/internal/table")
func TestX(t *testing.T){
 for _, s := range []string{
 "test,blank (µS/cm),extract (µS/cm),recorded (mg/m2),recorded verdict\n1,1.5,14.8,16.0,pass\n2,1.9,47.1,54.2,fail\n",
 "test,blank (µS/cm),extract (µS/cm),recorded (mg/m2),recorded verdict\n1,1.5,14.8,16.0,pass\n2,1.9,47.1,54.2,pass\n",
 "test,blank (µS/cm),extract (µS/cm),recorded (mg/m2),recorded verdict\n1,1.5,14.8,16.0,pass\n2,1.9,47.1,54.2,\n",
 "test,blank (µS/cm),extract (µS/cm),recorded (mg/m2),recorded verdict\n5,1.5,14.8,16.0,\n6,1.9,47.1,54.2,\n",
 "test,blank (µS/cm),extract (µS/cm),recorded (mg/m2),recorded verdict\n5,1.5,14.8,16.0,pass\n6,1.9,47.1,54.2,pass\n",
 }{
 f,_ := table.Read("readings.csv",[]byte(s),table.Options{})
 bs,_ := heading.Find(&f.Sheets[0],"readings",nil)
 for _,b:=range bs { for _,c:=range b.Columns { print(c.Name," | ") } ; println(len(b.Rows)) }
 }}
